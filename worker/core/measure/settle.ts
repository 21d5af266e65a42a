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
  /** Index of the settled stroke; with `unsettled`, of the first that counts. */
  readonly from: number;
  /** Open hose: index after the last stroke that counts. The ones from there on coasted. */
  readonly to?: number | undefined;
  /** Open hose: the last three strokes differ by more than the tolerance and count all the same. */
  readonly unsettled?: true | undefined;
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
  /** Seconds. Without it no stroke is recognised as coasting. */
  readonly timeS?: number | undefined;
}

/** Fewest strokes on which final rests, where there are as many: one alone would confirm itself. */
const LEAST_FINAL_STROKES = 3;
/** Longest run of coasting strokes, and the least lengthening of the period with which it begins. */
const MOST_COASTING = 4;
const COASTING_SLOWER = 1.04;

/**
 * Open hose: final is the mean of the peaks from the settled stroke on, and the settled stroke is the first from
 * which all agree with that mean, so both are found together. Where samples are so few that a peak is less precise
 * than the tolerance, it has less weight and may deviate by its own interval. Coasting strokes are left out, and final
 * rests on three strokes at least. `undefined` without a known peak.
 */
export function settleOpen(all: readonly Top[]): Settled | undefined {
  const to = drivenCount(all);
  const tops = all.slice(0, to);
  const sure = settleToleranceKpa(median(known(tops.map((t) => t.peakKpa)))) / 2;
  let settled: Settled | undefined;
  let [loose, firm, weights, sum, count] = [0, 0, 0, 0, 0];
  let [low, high] = [Number.POSITIVE_INFINITY, 0];
  // From the end, so that the whole pass is linear in the number of strokes.
  for (let from = tops.length - 1; from >= 0; from--) {
    const { peakKpa, peakPlusMinusKpa } = tops[from]!;
    if (peakKpa === null) continue;
    const plusMinus = peakPlusMinusKpa ?? 0;
    const weight = 1 / Math.max(plusMinus, sure) ** 2;
    weights += weight;
    sum += weight * peakKpa;
    count++;
    const finalKpa = sum / weights;
    const own = Math.max(0, plusMinus - sure);
    low = Math.min(low, peakKpa + own);
    high = Math.max(high, peakKpa - own);
    // Largest deviation beyond the tolerance.
    const excess = Math.max(finalKpa - low, high - finalKpa) - settleToleranceKpa(finalKpa);
    const required = count <= LEAST_FINAL_STROKES;
    if (required || excess <= plusMinus / 2) loose = finalKpa;
    if (required || excess <= -plusMinus / 2) firm = finalKpa;
    if (excess <= 0) settled = { finalKpa, from, to };
    else if (required) settled = { finalKpa, from, to, unsettled: true };
  }
  return settled && { ...settled, otherwiseKpa: loose === settled.finalKpa ? firm : loose };
}

/**
 * Number of strokes up to the release of the starter. The first coasting stroke follows a longer period and is lower
 * than the stroke before by more than the tolerance; those after it are lower still.
 */
function drivenCount(tops: readonly Top[]): number {
  let driven = tops.length;
  for (let i = tops.length - 1; i >= Math.max(LEAST_FINAL_STROKES, tops.length - MOST_COASTING); i--) {
    const [earlier, before, top] = [tops[i - 2]!, tops[i - 1]!, tops[i]!];
    if (top.peakKpa === null || before.peakKpa === null) continue;
    const slower = top.timeS! - before.timeS! > COASTING_SLOWER * (before.timeS! - earlier.timeS!);
    const margin = Math.max(settleToleranceKpa(before.peakKpa), top.peakPlusMinusKpa ?? 0);
    if (slower && top.peakKpa < before.peakKpa - margin && staysBelow(tops, i)) driven = i;
  }
  return driven;
}

const staysBelow = (tops: readonly Top[], from: number): boolean =>
  tops.slice(from).every(({ peakKpa }) => peakKpa === null || peakKpa <= tops[from]!.peakKpa!);

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
