/** Form state of an engine: typed text, its meaning, and validation. Typed text is never discarded. */
import { CRANKING_RANGE_KPA } from '../../../worker/core/cranking-range.ts';
import type {
  Decompressor,
  EngineFacts,
  Fuel,
  Layout,
  LayoutKind,
  RatioFrom,
} from '../../../worker/core/engine.ts';
import { cylindersOf, MOST_ROTORS, presetLayout } from '../../../worker/core/layouts.ts';
import type { Cycle } from '../../../worker/core/trace.ts';
import type { DisplayUnit } from '../../../worker/core/units.ts';
import { parseNumber } from '../../../worker/words/number.ts';
import { parsePressure, smallPressureInput } from '../../../worker/words/pressure.ts';
import { samePlan } from '../../components/plan-edit.ts';

export interface EngineForm {
  readonly name: string;
  readonly kind: LayoutKind;
  readonly count: string;
  /** Custom layout: one line per bank, cylinder numbers from the front. */
  readonly rows: string;
  readonly cycle: Cycle;
  readonly fuel: Fuel;
  readonly min: string;
  readonly max: string;
  readonly spread: string;
  /** Rotary: largest difference between the faces of a rotor. */
  readonly faceSpread: string;
  readonly ratio: string;
  /** Two-stroke: from where the ratio is counted; empty when not known. */
  readonly ratioFrom: RatioFrom | '';
  /** Compression release; empty when not known. */
  readonly decompressor: Decompressor | '';
  /** The plan after corrections on the drawing; `null` while it is the default one. */
  readonly edited: Layout | null;
}

export const EMPTY_FORM: EngineForm = {
  name: '',
  kind: 'inline',
  count: '4',
  rows: '1 2 3 4',
  cycle: 4,
  fuel: 'spark',
  min: '',
  max: '',
  spread: '',
  faceSpread: '',
  ratio: '',
  ratioFrom: '',
  decompressor: '',
  edited: null,
};

type FormProblemCode =
  /** The name is empty. */
  | 'needName'
  /** The text is not a number. */
  | 'notNumber'
  /** The number of cylinders is not whole, or outside 1 to `MAX_CYLINDERS`. */
  | 'countRange'
  /** The number of rotors is not whole, or outside 1 to `MOST_ROTORS`. */
  | 'rotorRange'
  /** The compression ratio is outside `RATIO_RANGE`. */
  | 'ratioRange'
  /** The lower limit exceeds the upper one. */
  | 'minAboveMax'
  /** A limit is outside the cranking pressures of the fuel. */
  | 'pressureRange'
  /** The allowed difference is not positive, or exceeds the upper limit. */
  | 'spreadRange'
  /** A custom layout has a number twice. */
  | 'rowsTwice'
  /** A custom layout lacks a number between 1 and its number of cylinders. */
  | 'rowsGap'
  /** A custom layout has no numbers. */
  | 'rowsEmpty';

export interface FormProblem {
  readonly field: keyof EngineForm;
  readonly code: FormProblemCode;
  /** The cylinder that a message about rows refers to. */
  readonly cylinder?: number;
}

const MAX_CYLINDERS = 18;
const RATIO_RANGE = { low: 4, high: 30 };

/** The layout to draw; `null` while the form does not describe one. */
export function layoutOf(form: EngineForm): Layout | null {
  return form.edited ?? usualLayoutOf(form);
}

/** The layout before corrections on the drawing; `null` while the form does not describe one. */
function usualLayoutOf(form: EngineForm): Layout | null {
  if (form.kind === 'rows') {
    const rows = rowsOf(form.rows);
    return rows.flat().length > 0 && rowsProblem(rows) === null ? { kind: 'rows', rows } : null;
  }
  const count = parseNumber(form.count);
  return isCount(count, mostOf(form.kind)) ? presetLayout(form.kind, count) : null;
}

/** Largest number of cylinders, or rotors. */
export const mostOf = (kind: LayoutKind): number => (kind === 'rotors' ? MOST_ROTORS : MAX_CYLINDERS);

const isCount = (count: number | null | undefined, most: number): count is number =>
  typeof count === 'number' && Number.isInteger(count) && count >= 1 && count <= most;

/** Numbers of custom rows, one line a row. `NaN` for what is not a number. */
export function rowsOf(text: string): number[][] {
  return text
    .split('\n')
    .map((line) =>
      line
        .split(/[\s,;]+/)
        .filter(Boolean)
        .map(Number),
    )
    .filter((row) => row.length > 0);
}

function rowsProblem(rows: readonly (readonly number[])[]): FormProblem | null {
  const numbers = rows.flat();
  if (numbers.length === 0) return { field: 'rows', code: 'rowsEmpty' };
  if (!numbers.every((n) => Number.isInteger(n) && n >= 1 && n <= MAX_CYLINDERS)) {
    return { field: 'rows', code: 'countRange' };
  }
  const twice = numbers.find((n, i) => numbers.indexOf(n) !== i);
  if (twice !== undefined) return { field: 'rows', code: 'rowsTwice', cylinder: twice };
  const missing = Array.from({ length: numbers.length }, (_, i) => i + 1).find((n) => !numbers.includes(n));
  return missing === undefined ? null : { field: 'rows', code: 'rowsGap', cylinder: missing };
}

/** All problems in the order of the form. Pressures are typed in `unit`. */
export function problemsOf(form: EngineForm, unit: DisplayUnit): FormProblem[] {
  const problems: FormProblem[] = [];
  if (form.name.trim() === '') problems.push({ field: 'name', code: 'needName' });
  if (form.kind === 'rows') {
    const problem = rowsProblem(rowsOf(form.rows));
    if (problem) problems.push(problem);
  } else if (!isCount(parseNumber(form.count), mostOf(form.kind))) {
    problems.push({ field: 'count', code: form.kind === 'rotors' ? 'rotorRange' : 'countRange' });
  }
  const min = parsePressure(form.min, unit);
  const max = parsePressure(form.max, unit);
  const spread = parsePressure(form.spread, unit);
  const outOfRange = (kpa: number | null | undefined) => !isPossible(kpa, form.fuel);
  if (outOfRange(min)) problems.push({ field: 'min', code: codeFor(min) });
  if (outOfRange(max)) problems.push({ field: 'max', code: codeFor(max) });
  else if (isNumber(min) && isNumber(max) && min > max) problems.push({ field: 'max', code: 'minAboveMax' });
  if (spread === undefined) problems.push({ field: 'spread', code: 'notNumber' });
  else if (isNumber(spread) && (spread <= 0 || (isNumber(max) && spread > max))) {
    problems.push({ field: 'spread', code: 'spreadRange' });
  }
  if (form.kind === 'rotors') {
    const faces = parsePressure(form.faceSpread, unit);
    if (faces === undefined) problems.push({ field: 'faceSpread', code: 'notNumber' });
    else if (isNumber(faces) && faces <= 0) problems.push({ field: 'faceSpread', code: 'spreadRange' });
  }
  const ratio = parseNumber(form.ratio);
  if (ratio === undefined) problems.push({ field: 'ratio', code: 'notNumber' });
  else if (isNumber(ratio) && (ratio < RATIO_RANGE.low || ratio > RATIO_RANGE.high)) {
    problems.push({ field: 'ratio', code: 'ratioRange' });
  }
  return problems;
}

const isNumber = (value: number | null | undefined): value is number => typeof value === 'number';

/** `null` is an empty field and valid; `undefined` is not a number. */
function isPossible(kpa: number | null | undefined, fuel: Fuel): boolean {
  const { low, high } = CRANKING_RANGE_KPA[fuel];
  return kpa === null || (kpa !== undefined && kpa >= low && kpa <= high);
}

const codeFor = (kpa: number | null | undefined): FormProblemCode =>
  kpa === undefined ? 'notNumber' : 'pressureRange';

/**
 * The engine that the form describes; `null` while `problemsOf` reports a problem. `base` supplies facts without a
 * field.
 */
export function factsOf(form: EngineForm, unit: DisplayUnit, base?: EngineFacts): EngineFacts | null {
  const layout = layoutOf(form);
  if (!layout || problemsOf(form, unit).length > 0) return null;
  // An unchanged figure keeps its precision: the field shows it rounded.
  const pressure = (text: string, before: number | undefined): number | undefined =>
    before !== undefined && text === smallPressureInput(before, unit)
      ? before
      : (parsePressure(text, unit) ?? undefined);
  const isRotary = form.kind === 'rotors';
  return {
    // One compression each shaft turn, as in a two-stroke.
    cycle: isRotary ? 2 : form.cycle,
    fuel: isRotary ? 'spark' : form.fuel,
    layout,
    manual: {
      minKpa: pressure(form.min, base?.manual.minKpa),
      maxKpa: pressure(form.max, base?.manual.maxKpa),
      spreadKpa: pressure(form.spread, base?.manual.spreadKpa),
      ...(isRotary && { faceSpreadKpa: pressure(form.faceSpread, base?.manual.faceSpreadKpa) }),
    },
    geometry: {
      ...base?.geometry,
      compressionRatio: parseNumber(form.ratio) ?? undefined,
      ratioFrom: isRotary || form.cycle === 4 ? undefined : form.ratioFrom || undefined,
    },
    decompressor: isRotary ? undefined : form.decompressor || undefined,
  };
}

/** Form state for the facts of an engine, with pressures in `unit`. */
export function formOf(name: string, facts: EngineFacts, unit: DisplayUnit): EngineForm {
  const pressure = (kpa: number | undefined) => (kpa === undefined ? '' : smallPressureInput(kpa, unit));
  const form: EngineForm = {
    name,
    kind: facts.layout.kind,
    count: String(cylindersOf(facts.layout).length),
    rows: facts.layout.rows.map((row) => row.join(' ')).join('\n'),
    cycle: facts.cycle,
    fuel: facts.fuel,
    min: pressure(facts.manual.minKpa),
    max: pressure(facts.manual.maxKpa),
    spread: pressure(facts.manual.spreadKpa),
    faceSpread: pressure(facts.manual.faceSpreadKpa),
    ratio: facts.geometry.compressionRatio === undefined ? '' : String(facts.geometry.compressionRatio),
    ratioFrom: facts.geometry.ratioFrom ?? '',
    decompressor: facts.decompressor ?? '',
    edited: null,
  };
  const usual = usualLayoutOf(form);
  return usual && samePlan(usual, facts.layout) ? form : { ...form, edited: facts.layout };
}
