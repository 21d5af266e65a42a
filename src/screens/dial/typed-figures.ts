/** Parses figures typed from a dial gauge. Pure. */
import { CRANKING_RANGE_KPA } from '../../../worker/core/cranking-range.ts';
import type { Fuel } from '../../../worker/core/engine.ts';
import { STROKES_NEEDED } from '../../../worker/core/strokes-needed.ts';
import { type DisplayUnit, digitsFor, fromKpa } from '../../../worker/core/units.ts';
import { LIMITS } from '../../../worker/file/limits.ts';
import { parseNumber } from '../../../worker/words/number.ts';
import { parsePressure } from '../../../worker/words/pressure.ts';

/**
 * `number`: not a number. `range`: negative, or above the cranking pressures of the fuel. `falling`: a stroke below the
 * one before. `many`: more than `LIMITS.typedStrokes`. `none`: both fields are empty. `stroke` counts from 1.
 */
export type TypedProblem =
  | { readonly field: 'strokes' | 'final'; readonly code: 'number' | 'range'; readonly text: string }
  | { readonly field: 'strokes'; readonly code: 'falling' | 'many'; readonly stroke: number }
  | { readonly field: 'final'; readonly code: 'none' };

export type TypedOutcome =
  | { readonly ok: true; readonly strokesKpa: readonly number[]; readonly finalKpa?: number | undefined }
  | { readonly ok: false; readonly problem: TypedProblem };

/**
 * Parses strokes and final reading, typed in `unit`, to gauge kPa. Spaces, semicolons and line ends separate figures; a
 * comma inside a figure is a decimal comma. Zero is valid for a dead cylinder.
 */
export function readTyped(strokes: string, final: string, unit: DisplayUnit, fuel: Fuel): TypedOutcome {
  const isPossible = (kpa: number): boolean => kpa >= 0 && kpa <= CRANKING_RANGE_KPA[fuel].high;
  const parts = figuresIn(strokes);
  const strokesKpa: number[] = [];
  if (parts.length > LIMITS.typedStrokes)
    return { ok: false, problem: { field: 'strokes', code: 'many', stroke: LIMITS.typedStrokes } };
  for (const text of parts) {
    const kpa = parsePressure(text, unit);
    if (typeof kpa !== 'number') return { ok: false, problem: { field: 'strokes', code: 'number', text } };
    if (!isPossible(kpa)) return { ok: false, problem: { field: 'strokes', code: 'range', text } };
    const before = strokesKpa.at(-1);
    if (before !== undefined && kpa < before) {
      return { ok: false, problem: { field: 'strokes', code: 'falling', stroke: strokesKpa.length + 1 } };
    }
    strokesKpa.push(kpa);
  }
  const finalKpa = parsePressure(final, unit);
  if (finalKpa === undefined)
    return { ok: false, problem: { field: 'final', code: 'number', text: final.trim() } };
  if (finalKpa === null) {
    if (strokesKpa.length === 0) return { ok: false, problem: { field: 'final', code: 'none' } };
    return { ok: true, strokesKpa };
  }
  if (!isPossible(finalKpa))
    return { ok: false, problem: { field: 'final', code: 'range', text: final.trim() } };
  return { ok: true, strokesKpa, finalKpa };
}

const figuresIn = (strokes: string): string[] => strokes.split(/[\s;]+|,\s+/).filter(Boolean);

/** Removes the last figure. */
export const withoutLast = (strokes: string): string => figuresIn(strokes).slice(0, -1).join(' ');

/** Appends a figure, in `unit`. */
export const withStroke = (strokes: string, value: number, unit: DisplayUnit): string =>
  [...figuresIn(strokes), String(Number(value.toFixed(digitsFor(unit))))].join(' ');

/** The valid figures, in the typed unit, for the tally and the pad. Invalid ones are reported on saving. */
export const strokesIn = (strokes: string): number[] =>
  figuresIn(strokes)
    .map(parseNumber)
    .filter((value) => typeof value === 'number');

/** Limitation of a reading with this number of strokes. */
export const lackOf = (strokes: number): 'level-only' | 'few-strokes' | 'no-times' =>
  strokes === 0 ? 'level-only' : strokes < STROKES_NEEDED ? 'few-strokes' : 'no-times';

/** Graduation and full scale of common dial gauges, in each unit. */
export const DIAL: Readonly<
  Record<DisplayUnit, { readonly step: number; readonly end: Readonly<Record<Fuel, number>> }>
> = {
  psi: { step: 2, end: { spark: 300, diesel: 1000 } },
  kPa: { step: 10, end: { spark: 2000, diesel: 7000 } },
  bar: { step: 0.1, end: { spark: 20, diesel: 70 } },
  'kgf/cm2': { step: 0.1, end: { spark: 20, diesel: 70 } },
};

/** Example strokes for the field's hint, in the reader's unit. */
export function exampleStrokes(unit: DisplayUnit): string {
  return [550, 830, 960, 1030].map((kpa) => Number(fromKpa(kpa, unit).toPrecision(2))).join(' ');
}

/** Example of a final reading, in the reader's unit. */
export const exampleFinal = (unit: DisplayUnit, fuel: Fuel): string =>
  String(Number(fromKpa(fuel === 'diesel' ? 2500 : 1000, unit).toPrecision(2)));
