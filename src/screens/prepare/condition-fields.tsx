import type { Quantity } from '../../../worker/core/quantities.ts';
import type { RecordedConditions, TestRecord } from '../../../worker/file/records.ts';
import { parseNumber } from '../../../worker/words/number.ts';
import { isInRange, parseQuantity, quantityInput } from '../../../worker/words/quantity.ts';
import { ambientKpa } from '../../analysis/reading-options.ts';
import { Field } from '../../components/field.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { useDraft } from '../../components/use-draft.ts';

type NumberField =
  | 'altitudeM'
  | 'ambientKpa'
  | 'oilTemperatureC'
  | 'batteryBeforeV'
  | 'batteryAfterV'
  | 'odometerKm'
  | 'hours';

/** Plausible ranges. Pressure at 6000 m by the US Standard Atmosphere 1976 is 47 kPa; the lowest land is at -430 m. */
export const RANGES: Readonly<Record<NumberField, readonly [number, number]>> = {
  altitudeM: [-430, 6000],
  ambientKpa: [45, 110],
  oilTemperatureC: [-40, 160],
  batteryBeforeV: [4, 60],
  batteryAfterV: [4, 60],
  odometerKm: [0, 5e6],
  hours: [0, 5e5],
};

/** Fields whose unit the reader chooses. */
export const FIELD_QUANTITY: Readonly<Partial<Record<NumberField, Quantity>>> = {
  altitudeM: 'altitude',
  ambientKpa: 'barometer',
  oilTemperatureC: 'temperature',
  odometerKm: 'distance',
};

/** A fall of this size means that a rested battery has lost about a third of its charge. Common practice, no source. */
const NOTABLE_FALL_V = 0.4;

/** Conditions of the test. A field is saved when left; an invalid entry stays with a message. */
export function ConditionFields({ test }: { test: TestRecord }) {
  const { t, say } = useReader();
  const within = (sentence: string, [low, high]: readonly [number, number]) => say(sentence, { low, high });
  const fields: readonly { name: NumberField; label: string; unit?: string; wrong: string }[] = [
    {
      name: 'altitudeM',
      label: t.prepare.altitude,
      wrong: within(t.prepare.altitudeRange, RANGES.altitudeM),
    },
    {
      name: 'ambientKpa',
      label: t.prepare.barometer,
      wrong: within(t.prepare.barometerRange, RANGES.ambientKpa),
    },
    {
      name: 'oilTemperatureC',
      label: t.prepare.oilTemperature,
      wrong: within(t.prepare.temperatureRange, RANGES.oilTemperatureC),
    },
    { name: 'batteryBeforeV', label: t.prepare.battery, unit: 'V', wrong: t.prepare.voltsRange },
  ];
  return (
    <Section title={t.prepare.conditions} hint={t.prepare.conditionsHint}>
      <div class="fields narrow">
        {fields.map((field) => (
          <ConditionField key={field.name} test={test} {...field} />
        ))}
      </div>
      <AirLine test={test} />
    </Section>
  );
}

/** What odometer and hour meter showed at the test. */
export function RunningFields({ test }: { test: TestRecord }) {
  const { t } = useReader();
  const wrong = t.prepare.notNegative;
  return (
    <>
      <ConditionField test={test} name="odometerKm" label={t.prepare.odometer} wrong={wrong} />
      <ConditionField test={test} name="hours" label={t.prepare.hours} unit="h" wrong={wrong} />
    </>
  );
}

/** The air pressure used for the judgement and its source. */
function AirLine({ test: { conditions } }: { test: TestRecord }) {
  const { t, say } = useReader();
  const words =
    conditions.ambientKpa !== undefined
      ? conditions.altitudeM !== undefined && t.prepare.barometerWins
      : say(conditions.altitudeM === undefined ? t.prepare.airUnknown : t.prepare.fromAltitude, {
          kpa: ambientKpa(conditions),
        });
  return (
    <p class="quiet below-fields" role="status">
      {words}
    </p>
  );
}

/** Battery voltage after the last cylinder. */
export function BatteryAfterField({ test }: { test: TestRecord }) {
  const { t, say } = useReader();
  const { batteryBeforeV, batteryAfterV } = test.conditions;
  const fellV =
    batteryBeforeV === undefined || batteryAfterV === undefined ? 0 : batteryBeforeV - batteryAfterV;
  return (
    <div class="stack">
      <div class="fields narrow">
        <ConditionField
          test={test}
          name="batteryAfterV"
          label={t.prepare.batteryAfter}
          unit="V"
          wrong={t.prepare.voltsRange}
        />
      </div>
      {fellV >= NOTABLE_FALL_V && <p>{say(t.prepare.batteryFell, { fellV })}</p>}
    </div>
  );
}

function ConditionField({
  test,
  name,
  label,
  unit: ownUnit,
  wrong,
}: {
  test: TestRecord;
  name: NumberField;
  label: string;
  /** The unit, where the reader has no choice. */
  unit?: string;
  wrong: string;
}) {
  const { library } = useModel();
  const { t, say, units, symbol, number } = useReader();
  const trouble = useTrouble();
  const quantity = FIELD_QUANTITY[name];
  const unit = quantity ? symbol(quantity) : ownUnit;
  const kept = test.conditions[name];
  const written = quantity ? quantityInput(kept, quantity, units) : String(kept ?? '');
  const { value: typed, set: setTyped } = useDraft<string | null>(
    `condition ${test.id} ${name} ${unit}`,
    () => null,
  );
  const text = typed ?? written;
  const value = quantity ? parseQuantity(text, quantity, units, kept) : parseNumber(text);
  const fits = value === null || (value !== undefined && isInRange(value, RANGES[name], quantity, units));
  const remark = value === undefined ? say(t.setup.notNumber, { example: number(12.6, 1) }) : wrong;
  const keep = () => {
    if (typed === null || !fits) return;
    const conditions: RecordedConditions = { ...test.conditions, [name]: value ?? undefined };
    void trouble.attempt(library.saveTest({ ...test, conditions }).then(() => setTyped(null)));
  };
  return (
    <Field
      label={label}
      unit={unit}
      decimal
      value={text}
      wrong={fits ? undefined : remark}
      onInput={setTyped}
      onBlur={keep}
    />
  );
}
