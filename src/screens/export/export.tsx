import { useState } from 'preact/hooks';
import { LIMITS } from '../../../worker/file/limits.ts';
import { Button } from '../../components/button.tsx';
import { Field } from '../../components/field.tsx';
import { PageHead } from '../../components/heading.tsx';
import { InstallSection } from '../../components/install-section.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { Stamp } from '../../components/stamp.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { useDraft } from '../../components/use-draft.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { DeleteTestSection } from '../compression-test/delete-test.tsx';
import { EngineLine } from '../compression-test/engine-line.tsx';
import { PlugsLinkSection } from '../engine/plugs-section.tsx';
import { BatteryAfterField } from '../prepare/condition-fields.tsx';
import { DateSection } from '../prepare/date-section.tsx';
import { ReportSection, SessionSection } from './session-section.tsx';
import { traceFile, traceFileName } from './trace-download.ts';

/** Note, report, and downloads of a test. */
export function ExportStep({ loaded }: { loaded: LoadedTest }) {
  const { takes } = loaded;
  const { t } = useReader();
  return (
    <Page>
      <PageHead title={t.export.title} over={<EngineLine loaded={loaded} />} />
      <NoteSection loaded={loaded} />
      <DateSection test={loaded.test} />
      <Section title={t.prepare.batteryTitle} hint={t.prepare.batteryAfterHint}>
        <BatteryAfterField test={loaded.test} />
      </Section>
      <PlugsLinkSection engine={loaded.engine} />
      <ReportSection loaded={loaded} />
      <SessionSection loaded={loaded} />
      <Section title={t.export.files} hint={t.export.filesHint}>
        {takes.length === 0 ? (
          <p>{t.export.noTakes}</p>
        ) : (
          <ul class="index">
            {takes.map((one) => (
              <TakeRow key={one.take.id} one={one} loaded={loaded} />
            ))}
          </ul>
        )}
      </Section>
      <InstallSection />
      <DeleteTestSection loaded={loaded} />
      <div class="action rest">
        <a class="button main" href="./">
          {t.export.toEngines}
        </a>
      </div>
    </Page>
  );
}

function NoteSection({ loaded: { test } }: { loaded: LoadedTest }) {
  const { library } = useModel();
  const { t } = useReader();
  const trouble = useTrouble();
  const { value: typed, set: setTyped, forget } = useDraft<string | null>(`note ${test.id}`, () => null);
  const [isKept, setKept] = useState(false);
  const keep = async () => {
    if (typed === null || typed === test.note) return;
    const kept = await trouble.attempt(library.saveTest({ ...test, note: typed }).then(() => true));
    if (kept) forget();
    setKept(kept === true);
  };
  return (
    <Section title={t.export.note} hint={t.export.noteHint}>
      <Field
        label={t.export.note}
        quiet
        value={typed ?? test.note}
        lines={4}
        most={LIMITS.noteLength}
        onInput={(note) => {
          setTyped(note);
          setKept(false);
        }}
        onBlur={() => void keep()}
      />
      <p role="status" class="quiet">
        {isKept && t.export.noteSaved}
      </p>
    </Section>
  );
}

function TakeRow({ one: { take, reading }, loaded }: { one: ReadTake; loaded: LoadedTest }) {
  const { library, saveFile } = useModel();
  const { t, say, dateTime, pressure } = useReader();
  const trouble = useTrouble();
  const isAside = take.state === 'set-aside';
  const isSuperseded = !isAside && loaded.counting[take.condition].get(take.cylinder)?.take.id !== take.id;
  const download = async () => {
    const trace = await trouble.attempt(library.trace(take.id));
    if (trace) saveFile(traceFile(loaded, take, trace), traceFileName(loaded.engine, take), 'text/csv');
  };
  return (
    <li class={`take-row${isAside ? ' aside-take' : ''}`}>
      <div>
        <p class="strong">
          {say(t.export.takeLine, {
            cylinder: take.cylinder,
            condition: t.conditionLong[take.condition],
            time: dateTime(take.startedAt),
          })}
        </p>
        <p class="quiet">
          {pressure(reading.finalKpa, reading.finalPlusMinusKpa)}{' '}
          {take.origin !== 'measured' && <Stamp>{t.origin[take.origin]}</Stamp>}{' '}
          {isAside && <Stamp>{t.export.setAside}</Stamp>}
          {isSuperseded && <Stamp>{t.export.superseded}</Stamp>}
        </p>
      </div>
      <div class="row">
        {take.typed ? (
          <p class="quiet">{t.export.typedTake}</p>
        ) : (
          <Button onClick={() => void download()}>{t.export.download}</Button>
        )}
        <Button
          kind="plain"
          onClick={() => void trouble.attempt(library.setTakeState(take, isAside ? 'finished' : 'set-aside'))}
        >
          {isAside ? t.export.countAgain : t.export.setItAside}
        </Button>
      </div>
    </li>
  );
}
