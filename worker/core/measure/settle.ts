import { median } from '../statistics.ts';

/** Final value and settling, as defined by the analysis format. A `null` peak is a stroke whose peak was lost. */

/** Settling tolerance: 2 % of final or 7 kPa, whichever is larger. */
const TOLERANCE_SHARE = 0.02;
const TOLERANCE_KPA = 7;

/** Largest deviation of a settled stroke from final, kPa. */
export const settleToleranceKpa = (finalKpa: number) => Math.max(TOLERANCE_SHARE * finalKpa, TOLERANCE_KPA);

/** Final value and the settled stroke. */
export interface Settled {
  readonly finalKpa: number;
  /** Index of the settled stroke. */
  readonly from: number;
  /**
   * Final if a stroke at the very edge of the tolerance were classified the other way; `undefined` when there is
   * none.
   */
  readonly otherwiseKpa?: number | undefined;
}

/** A peak and half the width of its 95 % interval, gauge kPa; `null` when lost. */
export interface Top {
  readonly peakKpa: number | null;
  readonly peakPlusMinusKpa: number | null;
}

/**
 * Open hose: final is the mean of the peaks from the settled stroke on, and the settled stroke is the first from
 * which all agree with that mean, so both are found together. Where samples are so few that a peak is less precise
 * than the tolerance, it has less weight and may deviate by its own interval. `undefined` without a known peak.
 */
export function settleOpen(tops: readonly Top[]): Settled | undefined {
  const sure = settleToleranceKpa(median(known(tops.map((t) => t.peakKpa)))) / 2;
  let settled: Settled | undefined;
  let [loose, firm, weights, sum] = [0, 0, 0, 0];
  let [low, high] = [Number.POSITIVE_INFINITY, 0];
  // From the end, so that the whole pass is linear in the number of strokes.
  for (let from = tops.length - 1; from >= 0; from--) {
    const { peakKpa, peakPlusMinusKpa } = tops[from]!;
    if (peakKpa === null) continue;
    const plusMinus = peakPlusMinusKpa ?? 0;
    const weight = 1 / Math.max(plusMinus, sure) ** 2;
    weights += weight;
    sum += weight * peakKpa;
    const finalKpa = sum / weights;
    const own = Math.max(0, plusMinus - sure);
    low = Math.min(low, peakKpa + own);
    high = Math.max(high, peakKpa - own);
    // Largest deviation beyond the tolerance.
    const excess = Math.max(finalKpa - low, high - finalKpa) - settleToleranceKpa(finalKpa);
    if (excess <= plusMinus / 2) loose = finalKpa;
    if (excess <= -plusMinus / 2) firm = finalKpa;
    if (excess <= 0) settled = { finalKpa, from };
  }
  return settled && { ...settled, otherwiseKpa: loose === settled.finalKpa ? firm : loose };
}

/** Check valve: final is the highest held level, as on a dial. `undefined` without a known level. */
export function settleHeld(levelsKpa: readonly (number | null)[]): Settled | undefined {
  const all = known(levelsKpa);
  if (all.length === 0) return undefined;
  const finalKpa = Math.max(...all);
  const tolerance = settleToleranceKpa(finalKpa);
  let from = levelsKpa.length;
  while (from > 0 && agrees(levelsKpa[from - 1]!, finalKpa, tolerance)) from--;
  while (from < levelsKpa.length - 1 && levelsKpa[from] === null) from++;
  // Levels that fall again after the highest (a leaking rig) never settle. The highest itself is then the settled
  // one.
  if (from === levelsKpa.length) from = levelsKpa.lastIndexOf(finalKpa);
  return { finalKpa, from };
}

const known = (values: readonly (number | null)[]) => values.filter((v) => v !== null);

const agrees = (v: number | null | undefined, finalKpa: number, tolerance: number) =>
  v === null || v === undefined || Math.abs(v - finalKpa) <= tolerance;
