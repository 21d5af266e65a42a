import { type DisplayUnit, digitsFor, fromKpa } from '../../../worker/core/units.ts';

/** A pressure as the start of what a person edits: plain digits and point, no grouping, no trailing noughts. */
export function smallPressureInput(kpa: number, unit: DisplayUnit): string {
  return String(Number(fromKpa(kpa, unit).toFixed(digitsFor(unit, true))));
}
