import { useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Button, Field, Leaf, PageHead, Stamp } from '../../components/pieces.tsx';
import { Page } from '../../components/shell.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { fingerprintOf } from '../../store/fingerprint.ts';
import type { EngineRecord, TestRecord } from '../../store/port.ts';
import type { ReadSession } from '../keep/read-session.ts';
import { readSessionFile, SESSION_ACCEPT } from '../keep/session-files.ts';
import { SessionProblem } from '../keep/session-problem.tsx';
import { FINGERPRINT_LENGTH, groupedFingerprint, readFingerprint } from './fingerprint-words.ts';

/** One test of the opened file. */
interface FoundTest {
  readonly test: TestRecord;
  readonly engine: EngineRecord;
  readonly takeCount: number;
  /** `null`: the browser cannot make one. `undefined`: nothing is measured, so there is none. */
  readonly fingerprint: string | null | undefined;
}

interface Opened {
  readonly read: ReadSession;
  readonly found: readonly FoundTest[];
}

/** Whether a report on paper and a session file belong together. Nothing is kept by looking. */
export function CheckScreen() {
  const { pickFiles } = useModel();
  const { t, say } = useReader();
  const [opened, setOpened] = useState<Opened | null>(null);
  const [reading, setReading] = useState<string | null>(null);
  const choose = async () => {
    const [file] = await pickFiles(SESSION_ACCEPT);
    if (!file) return;
    setOpened(null);
    setReading(file.name);
    const read = await readSessionFile(file);
    setOpened({ read, found: await testsIn(read) });
    setReading(null);
  };
  return (
    <Page>
      <PageHead title={t.check.title}>
        <p class="quiet">{t.check.lead}</p>
      </PageHead>
      <p role="status">{reading !== null && say(t.files.reading, { name: reading })}</p>
      {opened && !opened.read.ok && (
        <SessionProblem fileName={opened.read.fileName} problem={opened.read.problem} />
      )}
      {opened?.read.ok && <OpenedFile key={opened.read.fileName} opened={opened} />}
      <div class={opened?.read.ok ? 'action rest' : 'action'}>
        <Button kind={opened?.read.ok ? 'plain' : 'main'} onClick={() => void choose()}>
          {opened ? t.check.chooseOther : t.check.choose}
        </Button>
      </div>
    </Page>
  );
}

async function testsIn(read: ReadSession): Promise<FoundTest[]> {
  if (!read.ok) return [];
  const { tests, engines, takes } = read.session;
  return Promise.all(
    tests.map(async (test) => {
      const own = takes.filter(({ take }) => take.testId === test.id);
      return {
        test,
        engine: engines.find(({ id }) => id === test.engineId)!,
        takeCount: own.length,
        fingerprint: own.length === 0 ? undefined : await fingerprintOf(own),
      };
    }),
  );
}

function OpenedFile({ opened: { read, found } }: { opened: Opened }) {
  const { t } = useReader();
  const [typed, setTyped] = useState('');
  const cannot = found.some(({ fingerprint }) => fingerprint === null);
  if (found.length === 0) return <p class="problem">{t.check.none}</p>;
  return (
    <>
      <Leaf title={t.check.inFile}>
        <p class="quiet">{read.fileName}</p>
        <ul class="index">
          {found.map((one) => (
            <FoundTestRow key={one.test.id} one={one} />
          ))}
        </ul>
        {cannot && <p class="problem">{t.check.notPossible}</p>}
      </Leaf>
      {!cannot && (
        <Leaf title={t.check.onPaper}>
          <div class="stack">
            <TypedFingerprint typed={typed} onInput={setTyped} />
            <Finding typed={typed} found={found} />
          </div>
        </Leaf>
      )}
      <Leaf title={t.check.more}>
        <div class="stack">
          <p>{t.check.limits}</p>
          <BringInButton read={read} />
        </div>
      </Leaf>
    </>
  );
}

function FoundTestRow({ one: { test, engine, takeCount, fingerprint } }: { one: FoundTest }) {
  const { t, say, day } = useReader();
  return (
    <li class="found-test">
      <p>
        <bdi class="strong">{engine.name}</bdi>, {day(test.startedAt)}, {say(t.check.takes, { n: takeCount })}{' '}
        {test.origin !== 'measured' && <Stamp>{t.origin[test.origin]}</Stamp>}
      </p>
      {fingerprint && <p class="fingerprint">{groupedFingerprint(fingerprint)}</p>}
    </li>
  );
}

function TypedFingerprint({ typed, onInput }: { typed: string; onInput: (typed: string) => void }) {
  const { t, say } = useReader();
  const [isLeft, setLeft] = useState(false);
  const read = readFingerprint(typed);
  const wrong =
    read.state === 'wrong-letter'
      ? say(t.check.wrongLetter, { letter: read.letter })
      : read.state === 'too-long'
        ? say(t.check.tooLong, { n: read.length })
        : read.state === 'too-short' && isLeft
          ? say(t.check.tooShort, { n: read.length })
          : undefined;
  return (
    <Field
      label={t.check.typed}
      hint={t.check.typedHint}
      value={typed}
      lines={3}
      wrong={wrong}
      onInput={onInput}
      onBlur={() => setLeft(true)}
    />
  );
}

/** What the comparison comes to, in one sentence. */
function Finding({ typed, found }: { typed: string; found: readonly FoundTest[] }) {
  const { t, say, day } = useReader();
  const read = readFingerprint(typed);
  if (read.state !== 'good') return <div role="status" />;
  const { digits } = read;
  const same = found.find(({ fingerprint }) => fingerprint?.startsWith(digits));
  const name = same && say(t.check.testOf, { engine: same.engine.name, day: day(same.test.startedAt) });
  const words = !same
    ? t.check.belongsNot
    : say(digits.length === FINGERPRINT_LENGTH ? t.check.belongs : t.check.belongsSoFar, {
        name,
        n: digits.length,
      });
  return (
    <div role="status">
      <div class="remark">
        <VerdictShape verdict={same ? 'sound' : 'fault'} />
        <p class="strong">{words}</p>
      </div>
    </div>
  );
}

function BringInButton({ read }: { read: ReadSession }) {
  const { store, bench } = useModel();
  const { t } = useReader();
  const trouble = useTrouble();
  const { route } = useLocation();
  const bringIn = async () => {
    if (!read.ok) return;
    const { importSession } = await import('../../store/session-import.ts');
    if (!(await trouble.attempt(importSession(store, read.session)))) return;
    bench.refilled();
    route('/');
  };
  return <Button onClick={() => void bringIn()}>{t.check.bringIn}</Button>;
}
