/** Form state of the engine card: the fields of `engine-form.ts` and the optional ones. Pure. */
import type { EngineGeometry } from '../../../worker/core/engine.ts';
import type { DisplayUnit } from '../../../worker/core/units.ts';
import type { EngineRecord } from '../../../worker/file/records.ts';
import { parseNumber } from '../../../worker/words/number.ts';
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

export type CardForm = EngineForm & Readonly<Record<Figure, string>>;

export const EMPTY_CARD: CardForm = {
  ...EMPTY_FORM,
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
  readonly low?: number;
  readonly high?: number;
  /** Cylinders missing from the new plan. */
  readonly cylinders?: readonly number[];
}

interface Range {
  readonly low: number;
  readonly high: number;
  readonly code: CardProblemCode;
  /** Excludes `low` itself. */
  readonly above?: true;
}

/** Plausible ranges from model engines to ships, in the units of the form (common practice, no source). */
const RANGES: Readonly<Record<Figure, Range>> = {
  bore: { low: 10, high: 1000, code: 'lengthRange' },
  stroke: { low: 10, high: 3000, code: 'lengthRange' },
  rod: { low: 15, high: 6000, code: 'lengthRange' },
  intakeCloses: { low: -30, high: 120, code: 'angleRange' },
  odometer: { low: 0, high: 5e6, code: 'distanceRange' },
  hours: { low: 0, high: 5e5, code: 'distanceRange' },
  plugKm: { low: 0, high: 5e5, code: 'intervalRange', above: true },
  plugHours: { low: 0, high: 5e4, code: 'intervalRange', above: true },
};

const FIGURES = Object.keys(RANGES) as Figure[];

/** All invalid fields. `cylindersKept`: cylinders with stored tests or plugs, which the plan must keep. */
export function cardProblems(
  form: CardForm,
  unit: DisplayUnit,
  cylindersKept: readonly number[],
): { readonly engine: FormProblem[]; readonly card: CardProblem[] } {
  const card = FIGURES.flatMap((field): CardProblem[] => {
    const { low, high, code, above } = RANGES[field];
    const value = parseNumber(form[field]);
    if (value === null) return [];
    if (value === undefined) return [{ field, code: 'notNumber' }];
    return value < low || value > high || (above && value <= low) ? [{ field, code, low, high }] : [];
  });
  const rod = parseNumber(form.rod);
  const stroke = parseNumber(form.stroke);
  if (typeof rod === 'number' && typeof stroke === 'number' && rod <= stroke / 2 && card.length === 0) {
    card.push({ field: 'rod', code: 'rodRange' });
  }
  const layout = layoutOf(form);
  const cylinders = layout ? missingFrom(cylindersKept, layout) : [];
  if (cylinders.length > 0) card.unshift({ field: 'layout', code: 'cylinderMeasured', cylinders });
  return { engine: problemsOf(form, unit), card };
}

export type CardContent = Pick<EngineRecord, 'name' | 'facts' | 'odometerKm' | 'hours' | 'plugInterval'>;

/** The form's content; `null` while `cardProblems` reports a problem. `base`: the engine before the edit. */
export function cardOf(
  form: CardForm,
  unit: DisplayUnit,
  cylindersKept: readonly number[],
  base?: EngineRecord,
): CardContent | null {
  const { engine, card } = cardProblems(form, unit, cylindersKept);
  const facts = factsOf(form, unit, base?.facts);
  if (!facts || engine.length + card.length > 0) return null;
  const figure = (field: Figure): number | undefined => parseNumber(form[field]) ?? undefined;
  const geometry: EngineGeometry = {
    ...facts.geometry,
    boreMm: figure('bore'),
    strokeMm: figure('stroke'),
    rodMm: figure('rod'),
    intakeClosesDegAbdc: figure('intakeCloses'),
  };
  const interval = { km: figure('plugKm'), hours: figure('plugHours') };
  return {
    name: form.name.trim(),
    facts: { ...facts, geometry },
    odometerKm: figure('odometer'),
    hours: figure('hours'),
    plugInterval: interval.km === undefined && interval.hours === undefined ? undefined : interval,
  };
}

/** Form state for an existing engine. */
export function cardFormOf(engine: EngineRecord, unit: DisplayUnit): CardForm {
  const text = (value: number | undefined): string => (value === undefined ? '' : String(value));
  const { geometry } = engine.facts;
  return {
    ...formOf(engine.name, engine.facts, unit),
    bore: text(geometry.boreMm),
    stroke: text(geometry.strokeMm),
    rod: text(geometry.rodMm),
    intakeCloses: text(geometry.intakeClosesDegAbdc),
    odometer: text(engine.odometerKm),
    hours: text(engine.hours),
    plugKm: text(engine.plugInterval?.km),
    plugHours: text(engine.plugInterval?.hours),
  };
}
