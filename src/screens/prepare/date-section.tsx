import { LIMITS } from '../../../worker/file/limits.ts';
import type { TestRecord } from '../../../worker/file/records.ts';
import { DateField } from '../../components/date-field.tsx';
import { Field } from '../../components/field.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { useDraft } from '../../components/use-draft.ts';
import { dayProblem, EARLIEST_DAY, withDay } from '../../library/set-test-date.ts';
import { localDay, takenAt } from '../../library/test-date.ts';
import { RunningFields } from './condition-fields.tsx';

/** When the test was taken, and what odometer and hour meter showed. */
export function DateSection({ test }: { test: TestRecord }) {
  const { library } = useModel();
  const { t, say, dateTime } = useReader();
  const trouble = useTrouble();
  const words = t.testDate;
  const origin = test.takenFrom === 'file' ? words.fromFile : words.byHand;
  const save = (day: string) => void trouble.attempt(library.saveTest(withDay(test, day, 'hand')));
  return (
    <Section title={words.title} hint={words.hint}>
      <div class="fields narrow">
        <TestDateField day={localDay(new Date(takenAt(test)))} onAccept={save} />
        <RunningFields test={test} />
        <JobNumberField test={test} />
      </div>
      <p class="quiet below-fields" role="status">
        {test.takenOn !== undefined && say(origin, { recorded: dateTime(test.startedAt) })}
      </p>
    </Section>
  );
}

/** The workshop's job number. Kept when the field is left. */
function JobNumberField({ test }: { test: TestRecord }) {
  const { library } = useModel();
  const { t } = useReader();
  const trouble = useTrouble();
  const { value: typed, set: setTyped } = useDraft<string | null>(`job ${test.id}`, () => null);
  const keep = () => {
    if (typed === null) return;
    const { jobNumber: _before, ...rest } = test;
    const jobNumber = typed.trim();
    const changed = jobNumber === '' ? rest : { ...rest, jobNumber };
    void trouble.attempt(library.saveTest(changed).then(() => setTyped(null)));
  };
  return (
    <Field
      label={t.testDate.jobNumber}
      most={LIMITS.nameLength}
      value={typed ?? test.jobNumber ?? ''}
      onInput={setTyped}
      onBlur={keep}
    />
  );
}

interface TestDateFieldProps {
  day: string;
  onAccept: (day: string) => void;
  /** As for `DateField`. */
  onType?: (day: string) => void;
}

/** The day of a test, from 1900 to today. */
export function TestDateField({ day, onAccept, onType }: TestDateFieldProps) {
  const { t } = useReader();
  const words = t.testDate;
  const check = (entered: string) => {
    const problem = dayProblem(entered, new Date());
    return problem === null ? undefined : words.wrong[problem];
  };
  return (
    <DateField
      label={words.date}
      value={day}
      earliest={EARLIEST_DAY}
      latest={localDay(new Date())}
      check={check}
      onAccept={onAccept}
      onType={onType}
    />
  );
}
