import { useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { cylindersOf } from '../../../worker/core/layouts.ts';
import type { EngineRecord, TestRecord } from '../../../worker/file/records.ts';
import { parseNumber } from '../../../worker/words/number.ts';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import { byTaken } from '../../library/test-date.ts';
import { newEngine, newTest } from '../compression-test/new-records.ts';
import { EngineFields } from '../engine/engine-fields.tsx';
import { type EngineForm, factsOf, problemsOf } from '../engine/engine-form.ts';
import { type DayForm, DaySection, isDayFormFine, withDayForm } from './recording-day.tsx';
import { type Assignment, ambientIn, assignmentsFor, factsIn, formFor } from './recording-engine.ts';
import { RecordingRows } from './recording-rows.tsx';
import { engineNamed, proposedDay } from './recording-target.ts';
import type { Recordings } from './recordings.tsx';
import { EngineSection, NEW, TestSection } from './target-section.tsx';

interface ReadRecordingsProps {
  recordings: Recordings;
  /** Real engines, newest first. */
  engines: readonly EngineRecord[];
  chooseOthers: () => void;
}

/** Assigns recordings to an engine, a test and its cylinders, then shows the verdict. */
export function ReadRecordings({ recordings, engines, chooseOthers }: ReadRecordingsProps) {
  const { traces, changedAt } = recordings;
  const { store, library, settings } = useModel();
  const { t, say, unit, units } = useReader();
  const { route } = useLocation();
  const trouble = useTrouble();
  const [rows, setRows] = useState(() => assignmentsFor(traces));
  const [form, setForm] = useState<EngineForm>(() => formFor(traces, unit));
  const [engineId, setEngineId] = useState(() => engineNamed(engines, traces)?.id ?? NEW);
  const [testId, setTestId] = useState(NEW);
  const [proposed] = useState(() => proposedDay(traces, changedAt, new Date()));
  const [dayForm, setDayForm] = useState<DayForm>({ day: proposed.day, odometer: '', hours: '' });
  const [wantsToGo, setWantsToGo] = useState(false);
  const known = engines.find(({ id }) => id === engineId);
  const tests = useTests(known?.id);
  const existing = tests.find(({ id }) => id === testId);
  const problems = known ? [] : problemsOf(form, unit);
  const facts = known ? known.facts : factsOf(form, unit, factsIn(traces));
  const isDiesel = (known ? known.facts.fuel : form.fuel) === 'diesel';

  const wrong = (row: Assignment): string | undefined => {
    if (row.condition === 'leave-out')
      return rows.every((one) => one.condition === 'leave-out') ? t.open.noneLeft : undefined;
    const n = parseNumber(row.cylinder);
    if (typeof n !== 'number') return t.open.needCylinder;
    if (facts && !cylindersOf(facts.layout).includes(n))
      return say(known ? t.into.notOnEngine : t.open.noSuchCylinder, { n });
    return isDiesel && row.condition === 'wet' ? (known ? t.into.dieselWet : t.open.dieselWet) : undefined;
  };

  const remark = (row: Assignment): string | undefined => {
    const n = parseNumber(row.cylinder);
    if (typeof n !== 'number' || row.condition === 'leave-out') return undefined;
    const own = rows.filter((one) => parseNumber(one.cylinder) === n);
    if (own.filter((one) => one.condition === row.condition).length > 1) return say(t.into.again, { n });
    // A test that exists may have the dry reading.
    const isAlone = !existing && own.every((one) => one.condition !== 'dry');
    return row.condition === 'wet' && isAlone ? say(t.open.wetAlone, { n }) : undefined;
  };

  const save = async (engine: EngineRecord, test: TestRecord): Promise<true> => {
    if (!known) await store.saveEngine(engine);
    if (test !== existing) await library.saveTest(test);
    for (const [i, one] of traces.entries()) {
      const row = rows[i];
      if (!row || row.condition === 'leave-out') continue;
      await library.addRecorded(test, Number(parseNumber(row.cylinder)), row.condition, one);
    }
    return true;
  };

  const read = async () => {
    setWantsToGo(true);
    // A form sent by the keyboard: its date field checks the day when it is left.
    if (document.activeElement instanceof HTMLElement) document.activeElement.blur();
    if (
      !facts ||
      rows.some((row) => wrong(row) !== undefined) ||
      !(existing || isDayFormFine(dayForm, new Date(), units))
    ) {
      requestAnimationFrame(() => document.querySelector<HTMLElement>('[aria-invalid]')?.focus());
      return;
    }
    const engine = known ?? newEngine(form.name, facts, 'recording');
    const ambientKpa = existing?.conditions.ambientKpa ?? ambientIn(traces);
    const base =
      existing ??
      withDayForm(newTest(engine, settings.values.peek().rule, 'recording'), dayForm, proposed, units);
    const isSame = existing && existing.conditions.ambientKpa === ambientKpa;
    const test = isSame ? existing : { ...base, conditions: { ...base.conditions, ambientKpa } };
    if (await trouble.attempt(save(engine, test))) route(`tests/${test.id}/judge`);
  };

  return (
    <form
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void read();
      }}
    >
      {engines.length > 0 && (
        <EngineSection
          engines={engines}
          chosen={engineId}
          onChoose={(id) => {
            setEngineId(id);
            setTestId(NEW);
          }}
        />
      )}
      {tests.length > 0 && <TestSection tests={tests} chosen={testId} onChoose={setTestId} />}
      {!existing && <DaySection form={dayForm} proposed={proposed} onChange={setDayForm} />}
      <Section title={t.open.recordings} hint={t.open.recordingsHint}>
        <RecordingRows
          traces={traces}
          rows={rows}
          wrong={(row) => (wantsToGo ? wrong(row) : undefined)}
          remark={remark}
          onChange={setRows}
        />
        <p>
          <Button onClick={chooseOthers}>{t.open.chooseOthers}</Button>
        </p>
      </Section>
      {!known && (
        <EngineFields
          form={form}
          problems={wantsToGo ? problems : []}
          onChange={(patch) => setForm((now) => ({ ...now, ...patch }))}
        />
      )}
      <div class="action">
        <Button kind="main" type="submit">
          {t.open.go}
        </Button>
      </div>
    </form>
  );
}

/** Real tests of an engine, newest first; none while they load. */
function useTests(engineId: string | undefined): readonly TestRecord[] {
  const { store } = useModel();
  const { loaded } = useLoaded(`tests ${engineId ?? ''}`, async () => {
    const tests = engineId === undefined ? [] : await store.tests(engineId);
    return { engineId, tests: tests.filter(({ origin }) => origin !== 'simulated') };
  });
  // The result of the engine chosen before is shown until this one's is read.
  if (loaded.state !== 'ready' || loaded.value.engineId !== engineId) return [];
  return loaded.value.tests.toSorted(byTaken).reverse();
}
