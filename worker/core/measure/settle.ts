import { median } from '../statistics.ts';

/** Final value and settling, by the definitions of the analysis format. `null` peaks are strokes whose top was lost. */

/** A stroke agrees with final when within 2 % or 7 kPa, whichever is larger. */
const TOLERANCE_SHARE = 0.02;
const TOLERANCE_KPA = 7;

export const settleToleranceKpa = (finalKpa: number) => Math.max(TOLERANCE_SHARE * finalKpa, TOLERANCE_KPA);

export interface Settled {
  readonly finalKpa: number;
  /** Index of the settled stroke in `peaksKpa`. */
  readonly from: number;
  /** What final would be were a stroke on the very edge of settled taken the other way; none when no stroke is. */
  readonly otherwiseKpa?: number | undefined;
}

/** A top and half its 95 % interval, gauge kPa. */
export interface Top {
  readonly peakKpa: number | null;
  readonly peakPlusMinusKpa: number | null;
}

/**
 * Open hose: final is the mean of the peaks from the settled stroke on, and the settled stroke is the first from which
 * all agree with that mean, so the two are found together. Where samples are so few that a top is less sure than
 * the tolerance, it weighs less and may stray by its own interval. `undefined` without a known peak.
 */
export function settleOpen(tops: readonly Top[]): Settled | undefined {
  const sure = settleToleranceKpa(median(known(tops.map((t) => t.peakKpa)))) / 2;
  let settled: Settled | undefined;
  let [loose, firm, weights, sum] = [0, 0, 0, 0];
  let [low, high] = [Number.POSITIVE_INFINITY, 0];
  // from the end, so that no stroke is gone through again for each one before it
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
    // how much further than it may the worst of them strays
    const excess = Math.max(finalKpa - low, high - finalKpa) - settleToleranceKpa(finalKpa);
    if (excess <= plusMinus / 2) loose = finalKpa;
    if (excess <= -plusMinus / 2) firm = finalKpa;
    if (excess <= 0) settled = { finalKpa, from };
  }
  return settled && { ...settled, otherwiseKpa: loose === settled.finalKpa ? firm : loose };
}

/** Check valve: final is the highest held level, what a dial would show. `undefined` without a known level. */
export function settleHeld(levelsKpa: readonly (number | null)[]): Settled | undefined {
  const all = known(levelsKpa);
  if (all.length === 0) return undefined;
  const finalKpa = Math.max(...all);
  const tolerance = settleToleranceKpa(finalKpa);
  let from = levelsKpa.length;
  while (from > 0 && agrees(levelsKpa[from - 1]!, finalKpa, tolerance)) from--;
  while (from < levelsKpa.length - 1 && levelsKpa[from] === null) from++;
  // levels that sink again after the highest (a leaking rig) never settle: the highest itself is then the last word
  if (from === levelsKpa.length) from = levelsKpa.lastIndexOf(finalKpa);
  return { finalKpa, from };
}

const known = (values: readonly (number | null)[]) => values.filter((v) => v !== null);

const agrees = (v: number | null | undefined, finalKpa: number, tolerance: number) =>
  v === null || v === undefined || Math.abs(v - finalKpa) <= tolerance;
