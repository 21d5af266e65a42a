/** Parses figures typed from a dial gauge. Pure. */
import { CRANKING_RANGE_KPA } from '../../../worker/core/cranking-range.ts';
import type { Fuel } from '../../../worker/core/engine.ts';
import { STROKES_NEEDED } from '../../../worker/core/strokes-needed.ts';
import { type DisplayUnit, digitsFor, fromKpa } from '../../../worker/core/units.ts';
import { LIMITS } from '../../../worker/file/limits.ts';
import { formatNumber, parseNumber } from '../../../worker/words/number.ts';
import { parsePressure } from '../../../worker/words/pressure.ts';

/**
 * `number`: not a number. `range`: negative, or above the cranking pressures of the fuel. `falling`: a stroke below the
 * one before. `many`: more than `LIMITS.typedStrokes`. `none`: there is no final reading, nor a last stroke that could be it.
 * `stroke` counts from 1.
 */
export type TypedProblem =
  | { readonly field: 'strokes' | 'final'; readonly code: 'number' | 'range'; readonly text: string }
  | { readonly field: 'strokes'; readonly code: 'falling' | 'many'; readonly stroke: number }
  | { readonly field: 'final'; readonly code: 'none' };

export type TypedOutcome =
  | {
      readonly ok: true;
      readonly strokesKpa: readonly (number | null)[];
      readonly finalKpa?: number | undefined;
    }
  | { readonly ok: false; readonly problem: TypedProblem };

/**
 * Parses strokes and final reading, typed in `unit`, to gauge kPa. Spaces, semicolons and line ends separate figures; a
 * comma inside a figure is a decimal comma; `?` is a stroke that was not noted, `null`. Zero is valid for a dead cylinder.
 * `isRotor`: figures are of faces and may fall.
 */
export function readTyped(
  strokes: string,
  final: string,
  unit: DisplayUnit,
  fuel: Fuel,
  isRotor = false,
): TypedOutcome {
  const isPossible = (kpa: number): boolean => kpa >= 0 && kpa <= CRANKING_RANGE_KPA[fuel].high;
  const parts = figuresIn(strokes);
  const strokesKpa: (number | null)[] = [];
  let beforeKpa = 0;
  if (parts.length > LIMITS.typedStrokes)
    return { ok: false, problem: { field: 'strokes', code: 'many', stroke: LIMITS.typedStrokes } };
  for (const text of parts) {
    if (text === NOT_NOTED) {
      strokesKpa.push(null);
      continue;
    }
    const kpa = parsePressure(text, unit);
    if (typeof kpa !== 'number') return { ok: false, problem: { field: 'strokes', code: 'number', text } };
    if (!isPossible(kpa)) return { ok: false, problem: { field: 'strokes', code: 'range', text } };
    if (!isRotor && kpa < beforeKpa)
      return { ok: false, problem: { field: 'strokes', code: 'falling', stroke: strokesKpa.length + 1 } };
    strokesKpa.push(kpa);
    beforeKpa = kpa;
  }
  const finalKpa = parsePressure(final, unit);
  if (finalKpa === undefined)
    return { ok: false, problem: { field: 'final', code: 'number', text: final.trim() } };
  if (finalKpa === null) {
    const noted = isRotor ? strokesKpa.findLast((kpa) => kpa !== null) : strokesKpa.at(-1);
    if ((noted ?? null) === null) return { ok: false, problem: { field: 'final', code: 'none' } };
    return { ok: true, strokesKpa };
  }
  if (!isPossible(finalKpa))
    return { ok: false, problem: { field: 'final', code: 'range', text: final.trim() } };
  return { ok: true, strokesKpa, finalKpa };
}

/** Written for a stroke whose figure was not noted. */
export const NOT_NOTED = '?';

const figuresIn = (strokes: string): string[] =>
  strokes
    .replaceAll(NOT_NOTED, ` ${NOT_NOTED} `)
    .split(/[\s;]+|,\s+/)
    .filter(Boolean);

/** Removes the last figure. */
export const withoutLast = (strokes: string): string => figuresIn(strokes).slice(0, -1).join(' ');

/** Appends a stroke without a figure. */
export const withStroke = (strokes: string): string => [...figuresIn(strokes), NOT_NOTED].join(' ');

/** Replaces the figure of a stroke; `index` counts from 0, `value` is in `unit`. */
export const withFigure = (strokes: string, index: number, value: number, unit: DisplayUnit): string =>
  figuresIn(strokes)
    .with(index, String(Number(value.toFixed(digitsFor(unit)))))
    .join(' ');

/** The strokes in the typed unit, `null` where not noted or not valid; the latter are reported on saving. */
export const strokesIn = (strokes: string): (number | null)[] =>
  figuresIn(strokes).map((text) => {
    const value = parseNumber(text);
    return typeof value === 'number' ? value : null;
  });

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

/** Example strokes for the field's hint, in the reader's unit, with a decimal comma where the locale has one. */
export const exampleStrokes = (unit: DisplayUnit, locale: string): string =>
  examples([550, 830, 960, 1030], 2, unit, locale);

/** Example of a final reading, in the reader's unit. */
export const exampleFinal = (unit: DisplayUnit, fuel: Fuel): string =>
  String(Number(fromKpa(fuel === 'diesel' ? 2500 : 1000, unit).toPrecision(2)));

/** Example of the three faces of a rotor, in the same way. */
export const exampleFaces = (unit: DisplayUnit, locale: string): string =>
  examples([830, 800, 815], 3, unit, locale);

function examples(allKpa: readonly number[], digits: number, unit: DisplayUnit, locale: string): string {
  const text = allKpa.map((kpa) => Number(fromKpa(kpa, unit).toPrecision(digits))).join(' ');
  return formatNumber(0.5, 1, locale).includes(',') ? text.replaceAll('.', ',') : text;
}
