import type { Cycle, Hose } from '../worker/core/trace.ts';
import type { Cranking } from './cranking.ts';
import type { CylinderHealth } from './engine.ts';
import type { Rig } from './rig.ts';

/** True values of a cranking, to check an analysis against. Pressures gauge kPa, areas effective mm2. */
export interface CrankTruth {
  readonly hose: Hose;
  /**
   * Compression strokes whose cycle completed: the exhaust valve opened after them, possibly after the release of the
   * starter. A stroke in which the engine stopped does not count. A first one that began so near the top that it did not
   * move the gauge does not count either.
   */
  readonly strokes: number;
  /** Highest pressure in the cylinder in each stroke. */
  readonly peaksKpa: readonly number[];
  /** Check-valve hose: highest pressure in the hose by the end of each stroke. `null` for an open hose. */
  readonly levelsKpa: readonly number[] | null;
  /** Time of the top of each compression seen, s: the strokes, and one after whose top the engine stopped. */
  readonly tdcS: readonly number[];
  /** Whether the first stroke began with a partial charge. */
  readonly firstPartial: boolean;
  /** Check valve: highest level held. Open: mean of the driven peaks from the settled one on. `null` without strokes. */
  readonly finalKpa: number | null;
  /** Number of the first stroke from which all stay within 2 % or 7 kPa of final, whichever is larger. */
  readonly settled: number | null;
  /** Mean speed over every compression in `tdcS`, first to last; `null` with fewer than two. */
  readonly rpm: number | null;
  /** Loss of speed from the fastest period between strokes to the last, 0 to 1; `null` with fewer than two strokes. */
  readonly sag: number | null;
  /** Sum of the cylinder's leaks: rings (in this condition, oil film built up), valve and gasket. */
  readonly leakMm2: number;
  readonly ringMm2: number;
  readonly valveMm2: number;
  readonly gasketMm2: number;
}

/** Fewest strokes on which the final pressure of an open hose rests, where there are as many. */
const LEAST_FINAL_STROKES = 3;

/** Whether `kpa` is within 2 % or 7 kPa of `finalKpa`. */
function settledAt(kpa: number, finalKpa: number): boolean {
  return Math.abs(kpa - finalKpa) <= Math.max(0.02 * finalKpa, 7);
}

/** First index from which every value is settled, or the last one. */
function settledFrom(kpa: readonly number[], finalKpa: number): number {
  let first = kpa.length;
  while (first > 0 && settledAt(kpa[first - 1]!, finalKpa)) first--;
  return Math.min(first, kpa.length - 1);
}

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

/**
 * Final pressure and number of the settled stroke, `null` without strokes. A check-valve hose holds the highest level,
 * or `heldKpa` when the stopping engine raised it further. For an open hose the two definitions depend on each other;
 * the earliest stroke that satisfies both, with two more after it, is used; without one, the last three strokes are.
 */
export function finalAndSettled(
  kpa: readonly number[],
  hose: Hose,
  heldKpa = 0,
): { readonly finalKpa: number | null; readonly settled: number | null } {
  if (kpa.length === 0) return { finalKpa: null, settled: null };
  if (hose === 'check-valve') {
    const finalKpa = Math.max(heldKpa, ...kpa);
    return { finalKpa, settled: settledFrom(kpa, finalKpa) + 1 };
  }
  const last = Math.max(0, kpa.length - LEAST_FINAL_STROKES);
  for (let s = 0; s <= last; s++) {
    const tail = kpa.slice(s);
    const finalKpa = mean(tail);
    if (tail.every((p) => settledAt(p, finalKpa))) return { finalKpa, settled: s + 1 };
  }
  return { finalKpa: mean(kpa.slice(last)), settled: kpa.length };
}

/** Smallest rise of the gauge for which a first compression counts as seen. */
const LEAST_RISE_KPA = { open: 15, 'check-valve': 2 } as const;

/** Longest time searched for a peak before the first and after the last top, s. Between tops the midpoint is the limit. */
const LONGEST_SIDE_S = 2;

/** Computes the true values of a finished cranking. */
export function crankTruth(
  cranking: Cranking,
  health: CylinderHealth,
  rig: Rig,
  cycle: Cycle,
  ambientKpa: number,
): CrankTruth {
  const { hose } = rig;
  const gauge = (pa: number) => pa / 1000 - ambientKpa;
  const passedS = cranking.tdcS;
  const bounds = passedS.map((t, i) => {
    const next = passedS[i + 1];
    return next === undefined ? Math.min(cranking.timeS, t + LONGEST_SIDE_S) : (t + next) / 2;
  });
  const seen = passedS.flatMap((topS, i) => {
    const from = bounds[i - 1] ?? topS - LONGEST_SIDE_S;
    const peakKpa = gauge(cranking.cylinderPa.largest(from, bounds[i]!).value);
    const levelKpa = gauge(cranking.gaugePa.largest(from, bounds[i]!).value);
    const riseKpa = hose === 'open' ? peakKpa : levelKpa;
    return i === 0 && riseKpa < LEAST_RISE_KPA[hose] ? [] : { topS, peakKpa, levelKpa };
  });
  const strokes = seen.slice(0, Math.max(0, cranking.cycles - (passedS.length - seen.length)));
  const values = strokes.map((s) => (hose === 'open' ? s.peakKpa : s.levelKpa));
  // After the release the engine coasts: slower, and lower on an open hose.
  const releasedS = cranking.releasedS ?? Number.POSITIVE_INFINITY;
  const driven = strokes.filter(({ topS }) => topS <= releasedS).length;
  const counted = hose === 'open' && driven > 0 ? values.slice(0, driven) : values;
  const heldKpa = gauge(cranking.gaugePa.largest(0, cranking.timeS).value);
  const tdcS = seen.map((s) => s.topS);
  // Consecutive compressions are `cycle` half turns apart.
  const rpmOver = (periods: number, spanS: number) => (30 * cycle * periods) / spanS;
  const speeds = strokes.slice(1).map((s, i) => rpmOver(1, s.topS - strokes[i]!.topS));
  return {
    hose,
    strokes: strokes.length,
    peaksKpa: strokes.map((s) => s.peakKpa),
    levelsKpa: hose === 'open' ? null : values,
    tdcS,
    firstPartial: cranking.firstPartial,
    ...finalAndSettled(counted, hose, heldKpa),
    rpm: tdcS.length > 1 ? rpmOver(tdcS.length - 1, tdcS.at(-1)! - tdcS[0]!) : null,
    sag: speeds.length > 0 ? 1 - speeds.at(-1)! / Math.max(...speeds) : null,
    leakMm2: cranking.ringMm2 + health.valveMm2 + health.gasketMm2,
    ringMm2: cranking.ringMm2,
    valveMm2: health.valveMm2,
    gasketMm2: health.gasketMm2,
  };
}
