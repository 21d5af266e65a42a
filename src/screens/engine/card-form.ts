/** Form state of the engine card: the fields of `engine-form.ts` and the optional ones. Pure. */
import type { EngineGeometry } from '../../../worker/core/engine.ts';
import type { Quantity } from '../../../worker/core/quantities.ts';
import type { EngineRecord } from '../../../worker/file/records.ts';
import { parseNumber } from '../../../worker/words/number.ts';
import { isInRange, parseQuantity, quantityInput } from '../../../worker/words/quantity.ts';
import type { UnitChoice } from '../../app/units-of-region.ts';
import { missingFrom } from '../../components/plan-edit.ts';
import {
  EMPTY_FORM,
  type EngineForm,
  type FormProblem,
  factsOf,
  formOf,
  layoutOf,
  problemsOf,
} from './engine-form.ts';

type Figure = 'bore' | 'stroke' | 'rod' | 'intakeCloses' | 'odometer' | 'hours' | 'plugKm' | 'plugHours';

/** Texts that tell the engine from others. Any text is valid. */
const IDENTITY = ['make', 'model', 'registration', 'engineCode', 'customer'] as const;
export type IdentityField = (typeof IDENTITY)[number];

export type CardForm = EngineForm & Readonly<Record<Figure | IdentityField, string>>;

export const EMPTY_CARD: CardForm = {
  ...EMPTY_FORM,
  make: '',
  model: '',
  registration: '',
  engineCode: '',
  customer: '',
  bore: '',
  stroke: '',
  rod: '',
  intakeCloses: '',
  odometer: '',
  hours: '',
  plugKm: '',
  plugHours: '',
};

type CardProblemCode =
  /** The text is not a number. */
  | 'notNumber'
  /** A dimension is outside `RANGES`. */
  | 'lengthRange'
  /** The closing angle of the intake valve is outside `RANGES`. */
  | 'angleRange'
  /** The rod is not longer than half the stroke. */
  | 'rodRange'
  /** Odometer or hours are outside `RANGES`. */
  | 'distanceRange'
  /** A plug interval is outside `RANGES`. */
  | 'intervalRange'
  /** The plan lacks cylinders with stored tests or plugs. */
  | 'cylinderMeasured';

export interface CardProblem {
  readonly field: Figure | 'layout';
  readonly code: CardProblemCode;
  /** Limits, in the stored unit of `quantity`. */
  readonly low?: number;
  readonly high?: number;
  readonly quantity?: Quantity | undefined;
  /** Cylinders missing from the new plan. */
  readonly cylinders?: readonly number[];
}

interface Range {
  readonly low: number;
  readonly high: number;
  readonly code: CardProblemCode;
  /** Quantity of a figure whose unit the reader chooses. */
  readonly quantity?: Quantity;
  /** Excludes `low` itself. */
  readonly above?: true;
}

/** Plausible ranges from model engines to ships, in stored units: mm, km, degrees, hours (common practice, no source). */
const RANGES: Readonly<Record<Figure, Range>> = {
  bore: { low: 10, high: 1000, code: 'lengthRange', quantity: 'length' },
  stroke: { low: 10, high: 3000, code: 'lengthRange', quantity: 'length' },
  rod: { low: 15, high: 6000, code: 'lengthRange', quantity: 'length' },
  intakeCloses: { low: -30, high: 120, code: 'angleRange' },
  odometer: { low: 0, high: 5e6, code: 'distanceRange', quantity: 'distance' },
  hours: { low: 0, high: 5e5, code: 'distanceRange' },
  plugKm: { low: 0, high: 5e5, code: 'intervalRange', quantity: 'distance', above: true },
  plugHours: { low: 0, high: 5e4, code: 'intervalRange', above: true },
};

const FIGURES = Object.keys(RANGES) as Figure[];

/** All invalid fields. `cylindersKept`: cylinders with stored tests or plugs, which the plan must keep. */
export function cardProblems(
  form: CardForm,
  choice: UnitChoice,
  cylindersKept: readonly number[],
): { readonly engine: FormProblem[]; readonly card: CardProblem[] } {
  const card = FIGURES.flatMap((field): CardProblem[] => {
    const { low, high, code, quantity, above } = RANGES[field];
    const value = figureIn(form, field, choice);
    if (value === null) return [];
    if (value === undefined) return [{ field, code: 'notNumber' }];
    const fits = isInRange(value, [low, high], quantity, choice.units) && !(above && value <= low);
    return fits ? [] : [{ field, code, low, high, quantity }];
  });
  const rod = figureIn(form, 'rod', choice);
  const stroke = figureIn(form, 'stroke', choice);
  if (typeof rod === 'number' && typeof stroke === 'number' && rod <= stroke / 2 && card.length === 0) {
    card.push({ field: 'rod', code: 'rodRange' });
  }
  const layout = layoutOf(form);
  const cylinders = layout ? missingFrom(cylindersKept, layout) : [];
  if (cylinders.length > 0) card.unshift({ field: 'layout', code: 'cylinderMeasured', cylinders });
  return { engine: problemsOf(form, choice.unit), card };
}

export type CardContent = Pick<
  EngineRecord,
  'name' | 'facts' | 'odometerKm' | 'hours' | 'plugInterval' | 'identity'
>;

/** The form's content; `null` while `cardProblems` reports a problem. `base`: the engine before the edit. */
export function cardOf(
  form: CardForm,
  choice: UnitChoice,
  cylindersKept: readonly number[],
  base?: EngineRecord,
): CardContent | null {
  const { engine, card } = cardProblems(form, choice, cylindersKept);
  const facts = factsOf(form, choice.unit, base?.facts);
  if (!facts || engine.length + card.length > 0) return null;
  const before = base && figuresOf(base);
  const figure = (field: Figure): number | undefined =>
    figureIn(form, field, choice, before?.[field]) ?? undefined;
  const geometry: EngineGeometry = {
    ...facts.geometry,
    boreMm: figure('bore'),
    strokeMm: figure('stroke'),
    rodMm: figure('rod'),
    intakeClosesDegAbdc: figure('intakeCloses'),
  };
  const interval = { km: figure('plugKm'), hours: figure('plugHours') };
  const identity = IDENTITY.flatMap((field) => {
    const text = form[field].trim();
    return text === '' ? [] : [[field, text]];
  });
  return {
    name: form.name.trim(),
    facts: { ...facts, geometry },
    odometerKm: figure('odometer'),
    hours: figure('hours'),
    plugInterval: interval.km === undefined && interval.hours === undefined ? undefined : interval,
    identity: identity.length === 0 ? undefined : Object.fromEntries(identity),
  };
}

/** Form state for an existing engine. */
export function cardFormOf(engine: EngineRecord, { unit, units }: UnitChoice): CardForm {
  const stored = figuresOf(engine);
  const text = (field: Figure): string => {
    const { quantity } = RANGES[field];
    return quantity ? quantityInput(stored[field], quantity, units) : String(stored[field] ?? '');
  };
  return {
    ...formOf(engine.name, engine.facts, unit),
    make: engine.identity?.make ?? '',
    model: engine.identity?.model ?? '',
    registration: engine.identity?.registration ?? '',
    engineCode: engine.identity?.engineCode ?? '',
    customer: engine.identity?.customer ?? '',
    bore: text('bore'),
    stroke: text('stroke'),
    rod: text('rod'),
    intakeCloses: text('intakeCloses'),
    odometer: text('odometer'),
    hours: text('hours'),
    plugKm: text('plugKm'),
    plugHours: text('plugHours'),
  };
}

/** A typed figure in its stored unit; as `parseQuantity`. `before`: the stored figure. */
function figureIn(
  form: CardForm,
  field: Figure,
  { units }: UnitChoice,
  before?: number,
): number | null | undefined {
  const { quantity } = RANGES[field];
  return quantity ? parseQuantity(form[field], quantity, units, before) : parseNumber(form[field]);
}

function figuresOf({ facts, odometerKm, hours, plugInterval }: EngineRecord) {
  const { geometry } = facts;
  return {
    bore: geometry.boreMm,
    stroke: geometry.strokeMm,
    rod: geometry.rodMm,
    intakeCloses: geometry.intakeClosesDegAbdc,
    odometer: odometerKm,
    hours,
    plugKm: plugInterval?.km,
    plugHours: plugInterval?.hours,
  } satisfies Readonly<Record<Figure, number | undefined>>;
}
