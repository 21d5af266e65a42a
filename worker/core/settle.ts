/** Final value and settling, by the definitions of the analysis format. `null` peaks are strokes whose top was lost. */

/** A stroke agrees with final when within 2 % or 7 kPa, whichever is larger. */
const TOLERANCE_SHARE = 0.02;
const TOLERANCE_KPA = 7;

export const settleToleranceKpa = (finalKpa: number) => Math.max(TOLERANCE_SHARE * finalKpa, TOLERANCE_KPA);

export interface Settled {
  readonly finalKpa: number;
  /** Index of the settled stroke in `peaksKpa`. */
  readonly from: number;
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
  for (let from = 0; from < tops.length; from++) {
    if (tops[from]!.peakKpa === null) continue;
    const rest = tops.slice(from).filter((t) => t.peakKpa !== null);
    const usualKpa = rest.reduce((sum, t) => sum + t.peakKpa!, 0) / rest.length;
    const sure = settleToleranceKpa(usualKpa) / 2;
    const weights = rest.map((t) => 1 / Math.max(t.peakPlusMinusKpa ?? 0, sure) ** 2);
    const finalKpa =
      rest.reduce((sum, t, i) => sum + weights[i]! * t.peakKpa!, 0) / weights.reduce((a, b) => a + b, 0);
    const tolerance = settleToleranceKpa(finalKpa);
    const strays = (t: Top) => Math.max(0, Math.abs(t.peakKpa! - finalKpa) - tolerance);
    if (rest.every((t) => strays(t) <= Math.max(0, (t.peakPlusMinusKpa ?? 0) - tolerance / 2))) {
      return { finalKpa, from };
    }
  }
  return undefined;
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
