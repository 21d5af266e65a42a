import { useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { EVIDENCE_FORMS } from '../../../worker/file/session/evidence-coverage.ts';
import { Button } from '../../components/button.tsx';
import { Field } from '../../components/field.tsx';
import { PageHead } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { Stamp } from '../../components/stamp.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { takenAt } from '../../library/test-date.ts';
import type { ReadSession } from '../export/parse-session-file.ts';
import { readSessionFile, SESSION_ACCEPT } from '../export/read-session-file.ts';
import { SessionProblem } from '../export/session-problem.tsx';
import { Finding } from './check-finding.tsx';
import { groupedFingerprint, readFingerprint } from './fingerprint-words.ts';
import { type FoundTest, testsIn } from './found-tests.ts';

interface Opened {
  readonly read: ReadSession;
  readonly found: readonly FoundTest[];
}

/** Checks whether a printed report and a session file belong together. Nothing is stored. */
export function CheckScreen() {
  const { pickFiles, log } = useModel();
  const { t, say } = useReader();
  const [opened, setOpened] = useState<Opened | null>(null);
  const [reading, setReading] = useState<string | null>(null);
  const choose = async () => {
    const [file] = await pickFiles(SESSION_ACCEPT);
    if (!file) return;
    setOpened(null);
    setReading(file.name);
    const read = await readSessionFile(file);
    if (!read.ok) log.add('check of a file', read.problem);
    setOpened({ read, found: read.ok ? await testsIn(read.session) : [] });
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

function OpenedFile({ opened: { read, found } }: { opened: Opened }) {
  const { t } = useReader();
  const [typed, setTyped] = useState('');
  const cannot = found.some(({ fingerprints }) => fingerprints === null);
  if (found.length === 0) return <p class="problem">{t.check.none}</p>;
  return (
    <>
      <Section title={t.check.inFile}>
        <p class="quiet">{read.fileName}</p>
        <ul class="index">
          {found.map((one) => (
            <FoundTestRow key={one.test.id} one={one} />
          ))}
        </ul>
        {cannot && <p class="problem">{t.check.notPossible}</p>}
      </Section>
      {!cannot && (
        <Section title={t.check.onPaper}>
          <div class="stack">
            <TypedFingerprint typed={typed} onInput={setTyped} />
            <Finding typed={typed} found={found} />
          </div>
        </Section>
      )}
      <Section title={t.check.more}>
        <div class="stack">
          <p>{t.check.limits}</p>
          <BringInButton read={read} />
        </div>
      </Section>
    </>
  );
}

function FoundTestRow({ one: { test, engine, takeCount, fingerprints } }: { one: FoundTest }) {
  const { t, say, day } = useReader();
  return (
    <li class="found-test">
      <p>
        {say(t.check.calls, { engine: engine.name, day: day(takenAt(test)) })}{' '}
        {say(t.check.takes, { n: takeCount })}{' '}
        {test.origin !== 'measured' && <Stamp>{t.origin[test.origin]}</Stamp>}
      </p>
      {fingerprints &&
        EVIDENCE_FORMS.map((form) => (
          <p key={form}>
            {say(t.check.form, { form })}{' '}
            <span class="fingerprint">{groupedFingerprint(fingerprints[form])}</span>
          </p>
        ))}
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

function BringInButton({ read }: { read: ReadSession }) {
  const { store, library } = useModel();
  const { t } = useReader();
  const trouble = useTrouble();
  const { route } = useLocation();
  const bringIn = async () => {
    if (!read.ok) return;
    const { importSession } = await import('../../store/session-import.ts');
    if (!(await trouble.attempt(importSession(store, read.session)))) return;
    library.refilled();
    route('./');
  };
  return <Button onClick={() => void bringIn()}>{t.check.bringIn}</Button>;
}
