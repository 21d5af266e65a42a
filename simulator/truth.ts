import type { Cycle, Hose } from '../worker/core/trace.ts';
import type { Cranking } from './cranking.ts';
import type { CylinderHealth } from './engine.ts';
import type { Rig } from './rig.ts';

/** What really happened in a cranking, for holding an analysis against. Pressures gauge kPa, areas effective mm2. */
export interface CrankTruth {
  readonly hose: Hose;
  /** Compression strokes that passed top dead centre, also after the starter let go. */
  readonly strokes: number;
  /** How many of them the engine only coasted through: slow, and so low. Final and settled stroke leave them out. */
  readonly coasted: number;
  /** Highest pressure in the cylinder in each of them. */
  readonly peaksKpa: readonly number[];
  /** Check-valve hose: highest pressure in the hose by the end of each. `null` for an open hose. */
  readonly levelsKpa: readonly number[] | null;
  /** When each passed top dead centre, s. */
  readonly tdcS: readonly number[];
  /** The first stroke began part-way up. */
  readonly firstPartial: boolean;
  /** Check valve: highest level. Open: mean of the peaks from the settled one on. `null` without strokes. */
  readonly finalKpa: number | null;
  /** Number of the first stroke from which all stay within 2 % or 7 kPa of final, whichever is larger. */
  readonly settled: number | null;
  /** Mean speed after the first two strokes (all, when fewer than four), while the starter turned. */
  readonly rpm: number | null;
  /** Speed over the last stroke period against the fastest one, 0 to 1. */
  readonly sag: number | null;
  /** All leaks of the cylinder, settled: rings (in this condition), valve and gasket. */
  readonly leakMm2: number;
  readonly ringMm2: number;
  readonly valveMm2: number;
  readonly gasketMm2: number;
}

/** Within 2 % or 7 kPa of `finalKpa`. */
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
 * Final and settled stroke. For an open hose they hang on each other; the earliest stroke for which both definitions
 * hold is taken.
 */
export function finalAndSettled(
  kpa: readonly number[],
  hose: Hose,
): { readonly finalKpa: number | null; readonly settled: number | null } {
  if (kpa.length === 0) return { finalKpa: null, settled: null };
  if (hose === 'check-valve') {
    const finalKpa = Math.max(...kpa);
    return { finalKpa, settled: settledFrom(kpa, finalKpa) + 1 };
  }
  for (let s = 0; s < kpa.length; s++) {
    const tail = kpa.slice(s);
    const finalKpa = mean(tail);
    if (tail.every((p) => settledAt(p, finalKpa))) return { finalKpa, settled: s + 1 };
  }
  return { finalKpa: kpa.at(-1)!, settled: kpa.length };
}

export function crankTruth(
  cranking: Cranking,
  health: CylinderHealth,
  rig: Rig,
  cycle: Cycle,
  ambientKpa: number,
): CrankTruth {
  const { tdcS } = cranking;
  const gauge = (pa: number) => pa / 1000 - ambientKpa;
  const bounds = tdcS.map((t, i) => {
    const next = tdcS[i + 1];
    return next === undefined ? Math.min(cranking.timeS, t + 0.25) : (t + next) / 2;
  });
  const windows = tdcS.map((t, i) => [bounds[i - 1] ?? t - 2, bounds[i]!] as const);
  const peaksKpa = windows.map(([from, to]) => gauge(cranking.cylinderPa.largest(from, to).value));
  const levelsKpa =
    rig.hose === 'check-valve'
      ? windows.map(([from, to]) => gauge(cranking.gaugePa.largest(from, to).value))
      : null;
  // Crank turns between two strokes, by the time they took, while the starter turned.
  const driven = tdcS.filter((t) => t <= (cranking.releasedS ?? Number.POSITIVE_INFINITY));
  const rpms = driven.slice(1).map((t, i) => (30 * cycle) / (t - driven[i]!));
  const first = driven.length >= 4 ? 1 : 0;
  const rpm =
    driven.length >= 2
      ? (30 * cycle * (driven.length - 1 - first)) / (driven.at(-1)! - driven[first]!)
      : null;
  return {
    hose: rig.hose,
    strokes: tdcS.length,
    coasted: tdcS.length - driven.length,
    peaksKpa,
    levelsKpa,
    tdcS: [...tdcS],
    firstPartial: cranking.firstPartial,
    ...finalAndSettled((levelsKpa ?? peaksKpa).slice(0, driven.length), rig.hose),
    rpm,
    sag: rpms.length > 0 ? 1 - rpms.at(-1)! / Math.max(...rpms) : null,
    leakMm2: cranking.ringMm2 + health.valveMm2 + health.gasketMm2,
    ringMm2: cranking.ringMm2,
    valveMm2: health.valveMm2,
    gasketMm2: health.gasketMm2,
  };
}
