import { useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { cylindersOf } from '../../../worker/core/layouts.ts';
import type { RecordedTrace } from '../../../worker/file/csv/trace-file.ts';
import { parseNumber } from '../../../worker/words/number.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { PageHead } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { newEngine, newTest } from '../compression-test/new-records.ts';
import { EngineFields } from '../engine/engine-fields.tsx';
import { type EngineForm, factsOf, problemsOf } from '../engine/engine-form.ts';
import { type Assignment, ambientIn, assignmentsFor, factsIn, formFor } from './recording-engine.ts';
import { recordingValues } from './recording-picker.tsx';
import { RecordingProblems, useRecordings } from './recordings.tsx';

/** Makes a test from recorded files: assign each to a cylinder, then show the verdict. */
export function OpenRecordingScreen() {
  const { t } = useReader();
  const recordings = useRecordings();
  const isEmpty = recordings.traces.length === 0;
  return (
    <Page>
      <PageHead title={t.open.title}>
        <p class="quiet">{t.open.lead}</p>
        <p>
          <a class="link-line" href="settings#data">
            {t.files.fromOpen}
          </a>
        </p>
      </PageHead>
      <RecordingProblems recordings={recordings} />
      {isEmpty ? (
        <div class="action">
          <Button kind="main" onClick={() => void recordings.choose()}>
            {t.open.choose}
          </Button>
        </div>
      ) : (
        <ReadRecordings
          key={recordings.traces
            .map(({ fileName, header }) => [fileName, header.cylinder, header.condition].join(' '))
            .join()}
          traces={recordings.traces}
          chooseOthers={() => void recordings.choose()}
        />
      )}
    </Page>
  );
}

interface ReadRecordingsProps {
  traces: readonly RecordedTrace[];
  chooseOthers: () => void;
}

function ReadRecordings({ traces, chooseOthers }: ReadRecordingsProps) {
  const { store, library, settings } = useModel();
  const { t, say, unit } = useReader();
  const { route } = useLocation();
  const trouble = useTrouble();
  const [rows, setRows] = useState(() => assignmentsFor(traces));
  const [form, setForm] = useState<EngineForm>(() => formFor(traces, unit));
  const [wantsToGo, setWantsToGo] = useState(false);
  const problems = problemsOf(form, unit);
  const facts = factsOf(form, unit, factsIn(traces));
  const wrong = (row: Assignment): string | undefined => {
    if (row.condition === 'leave-out')
      return rows.every((one) => one.condition === 'leave-out') ? t.open.noneLeft : undefined;
    const n = parseNumber(row.cylinder);
    if (typeof n !== 'number') return t.open.needCylinder;
    if (facts && !cylindersOf(facts.layout).includes(n)) return say(t.open.noSuchCylinder, { n });
    if (form.fuel === 'diesel' && row.condition === 'wet') return t.open.dieselWet;
    const same = rows.filter((one) => parseNumber(one.cylinder) === n && one.condition === row.condition);
    return same.length > 1 ? say(t.open.twice, { n }) : undefined;
  };

  /** Message that does not prevent continuing. */
  const remark = (row: Assignment): string | undefined => {
    const n = parseNumber(row.cylinder);
    const hasDry = rows.some((one) => one.condition === 'dry' && parseNumber(one.cylinder) === n);
    return row.condition === 'wet' && typeof n === 'number' && !hasDry
      ? say(t.open.wetAlone, { n })
      : undefined;
  };

  const read = async () => {
    setWantsToGo(true);
    if (!facts || rows.some((row) => wrong(row) !== undefined)) {
      requestAnimationFrame(() => document.querySelector<HTMLElement>('[aria-invalid]')?.focus());
      return;
    }
    const engine = newEngine(form.name, facts, 'recording');
    const made = newTest(engine, settings.values.peek().rule, 'recording');
    const test = { ...made, conditions: { ...made.conditions, ambientKpa: ambientIn(traces) } };
    const work = async () => {
      await store.saveEngine(engine);
      await store.saveTest(test);
      for (const [i, one] of traces.entries()) {
        const row = rows[i];
        if (!row || row.condition === 'leave-out') continue;
        await library.addRecorded(test, Number(parseNumber(row.cylinder)), row.condition, one);
      }
      return true;
    };
    if (await trouble.attempt(work())) route(`tests/${test.id}/judge`);
  };

  return (
    <form
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void read();
      }}
    >
      <Section title={t.open.recordings} hint={t.open.recordingsHint}>
        <ul class="index">
          {traces.map((trace, i) => {
            const row = rows[i];
            if (!row) return null;
            return (
              <AssignmentRow
                key={i}
                title={say(t.crank.recordingLine, recordingValues(trace))}
                row={row}
                wrong={wantsToGo ? wrong(row) : undefined}
                remark={remark(row)}
                onChange={(patch) => setRows(rows.map((one, k) => (k === i ? { ...one, ...patch } : one)))}
              />
            );
          })}
        </ul>
        <p>
          <Button onClick={chooseOthers}>{t.open.chooseOthers}</Button>
        </p>
      </Section>
      <EngineFields
        form={form}
        problems={wantsToGo ? problems : []}
        onChange={(patch) => setForm((now) => ({ ...now, ...patch }))}
      />
      <div class="action">
        <Button kind="main" type="submit">
          {t.open.go}
        </Button>
      </div>
    </form>
  );
}

interface AssignmentRowProps {
  title: string;
  row: Assignment;
  wrong: string | undefined;
  remark: string | undefined;
  onChange: (patch: Partial<Assignment>) => void;
}

function AssignmentRow({ title, row, wrong, remark, onChange }: AssignmentRowProps) {
  const { t } = useReader();
  return (
    <li class="assignment">
      <p>{title}</p>
      <Field
        label={t.column.cylinder}
        value={row.cylinder}
        decimal
        wrong={wrong}
        onInput={(cylinder) => onChange({ cylinder })}
      />
      <Choice<Assignment['condition']>
        legend={t.column.condition}
        value={row.condition}
        options={[
          { value: 'dry', label: t.condition.dry },
          { value: 'wet', label: t.condition.wet },
          { value: 'leave-out', label: t.open.leaveOut },
        ]}
        onChoose={(condition) => onChange({ condition })}
      />
      {remark && <p role="status">{remark}</p>}
    </li>
  );
}
