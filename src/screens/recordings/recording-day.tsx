import type { QuantityUnits } from '../../../worker/core/quantities.ts';
import type { TestRecord } from '../../../worker/file/records.ts';
import { parseNumber } from '../../../worker/words/number.ts';
import { isInRange, parseQuantity } from '../../../worker/words/quantity.ts';
import { Field } from '../../components/field.tsx';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { dayProblem, withDay } from '../../library/set-test-date.ts';
import { FIELD_QUANTITY, RANGES } from '../prepare/condition-fields.tsx';
import { TestDateField } from '../prepare/date-section.tsx';
import type { ProposedDay } from './recording-target.ts';

/** Day and running figures of a test that recordings make, as typed. */
export interface DayForm {
  readonly day: string;
  readonly odometer: string;
  readonly hours: string;
}

/** Whether the day can be that of a test, and the figures are empty or plausible. */
export const isDayFormFine = (form: DayForm, now: Date, units: QuantityUnits): boolean =>
  dayProblem(form.day, now) === null &&
  isFine(form.odometer, 'odometerKm', units) &&
  isFine(form.hours, 'hours', units);

/** The test with day and figures. The day counts as the file's while it is the one that the headers state. */
export function withDayForm(
  test: TestRecord,
  form: DayForm,
  proposed: ProposedDay,
  units: QuantityUnits,
): TestRecord {
  const isStated = proposed.from === 'header' && form.day === proposed.day;
  const odometerKm = parseQuantity(form.odometer, 'distance', units) ?? undefined;
  const hours = parseNumber(form.hours) ?? undefined;
  const conditions = { ...test.conditions, odometerKm, hours };
  return withDay({ ...test, conditions }, form.day, isStated ? 'file' : 'hand');
}

function isFine(text: string, name: 'odometerKm' | 'hours', units: QuantityUnits): boolean {
  const quantity = FIELD_QUANTITY[name];
  const value = quantity ? parseQuantity(text, quantity, units) : parseNumber(text);
  return value === null || (value !== undefined && isInRange(value, RANGES[name], quantity, units));
}

interface DaySectionProps {
  form: DayForm;
  proposed: ProposedDay;
  onChange: (form: DayForm) => void;
}

/** Day of a new test made of recordings, with odometer and hours. */
export function DaySection({ form, proposed, onChange }: DaySectionProps) {
  const { t, say, units, symbol } = useReader();
  const setDay = (day: string) => onChange({ ...form, day });
  const hint =
    proposed.from === 'changed'
      ? t.into.changedDay
      : proposed.days > 1
        ? say(t.into.headerDays, { n: proposed.days })
        : t.into.headerDay;
  const wrong = (text: string, name: 'odometerKm' | 'hours') =>
    isFine(text, name, units)
      ? undefined
      : parseNumber(text) === undefined
        ? say(t.setup.notNumber, { example: '120000' })
        : t.prepare.notNegative;
  return (
    <Section title={t.testDate.title}>
      <div class="fields narrow">
        <TestDateField day={form.day} onAccept={setDay} onType={setDay} />
        <Field
          label={t.prepare.odometer}
          unit={symbol('distance')}
          decimal
          value={form.odometer}
          wrong={wrong(form.odometer, 'odometerKm')}
          onInput={(odometer) => onChange({ ...form, odometer })}
        />
        <Field
          label={t.prepare.hours}
          unit="h"
          decimal
          value={form.hours}
          wrong={wrong(form.hours, 'hours')}
          onInput={(hours) => onChange({ ...form, hours })}
        />
      </div>
      <p class="quiet below-fields" role="status">
        {form.day === proposed.day && hint}
      </p>
    </Section>
  );
}
