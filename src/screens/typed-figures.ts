/** Reads what a person typed from a dial gauge. Pure. */
import { type DisplayUnit, fromKpa } from '../../worker/core/units.ts';
import { parsePressure } from '../format/pressure.ts';
import { PRESSURE_RANGE_KPA } from './engine-form.ts';

export type TypedProblem =
  | { readonly field: 'strokes' | 'final'; readonly code: 'number' | 'range'; readonly text: string }
  | { readonly field: 'strokes'; readonly code: 'falling'; readonly stroke: number }
  | { readonly field: 'final'; readonly code: 'none' };

export type TypedOutcome =
  | { readonly ok: true; readonly strokesKpa: readonly number[]; readonly finalKpa?: number | undefined }
  | { readonly ok: false; readonly problem: TypedProblem };

/** Figures are apart by spaces, semicolons or line ends; a comma inside a figure is a decimal comma. */
export function readTyped(strokes: string, final: string, unit: DisplayUnit): TypedOutcome {
  const parts = strokes.split(/[\s;]+|,\s+/).filter(Boolean);
  const strokesKpa: number[] = [];
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

/** A dead cylinder reads nothing, so nought is possible. */
const isPossible = (kpa: number): boolean => kpa >= 0 && kpa <= PRESSURE_RANGE_KPA.high;

/** An example row in the reader's unit. */
export function exampleStrokes(unit: DisplayUnit): string {
  return [550, 830, 960, 1030].map((kpa) => Number(fromKpa(kpa, unit).toPrecision(2))).join(' ');
}
