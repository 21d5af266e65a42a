import type { BuildUp, BuildUpFit } from '../reading.ts';
import { solveSpd } from '../statistics.ts';
import type { Hose } from '../trace.ts';

/** A full stroke with its standard deviation, gauge kPa. */
interface Point {
  readonly number: number;
  readonly kpa: number;
  readonly sdKpa: number;
}

/** Strokes used: no cylinder takes longer to build up. */
const MOST_POINTS = 100;
/** Time constants tried, strokes. */
const TAUS = Array.from({ length: 60 }, (_, i) => 0.25 * 1.08 ** i);

/**
 * Least squares of peak(k) = final - rise exp(-(k - 1) / tau). Linear in final and rise at each tau, so tau is
 * searched on a fine grid. `null` with fewer than four points or without a positive rise. `timeConstantPlusMinus` is
 * half of the 95 % interval.
 */
export function fitBuildUp(all: readonly Point[]): BuildUpFit | null {
  const points = all.slice(0, MOST_POINTS);
  if (points.length < 4) return null;
  const tried = TAUS.map((tau) => fitAt(points, tau)).filter((f) => f !== undefined);
  if (tried.length === 0) return null;
  const best = tried.reduce((a, b) => (b.chi2 < a.chi2 ? b : a));
  if (!(best.riseKpa > 0)) return null;
  // A misfit beyond the given deviations widens the interval.
  const scale = Math.max(1, best.chi2 / Math.max(1, points.length - 3));
  const inside = tried.filter((f) => f.chi2 <= best.chi2 + 3.84 * scale).map((f) => f.tau);
  const half = Math.max(0.04 * best.tau, (Math.max(...inside) - Math.min(...inside)) / 2);
  return {
    finalKpa: best.finalKpa,
    riseKpa: best.riseKpa,
    timeConstantStrokes: best.tau,
    timeConstantPlusMinus: half,
  };
}

function fitAt(points: readonly Point[], tau: number) {
  let [s, sx, sxx, sy, sxy] = [0, 0, 0, 0, 0];
  for (const p of points) {
    const w = 1 / p.sdKpa ** 2;
    const x = -Math.exp(-(p.number - 1) / tau);
    s += w;
    sx += w * x;
    sxx += w * x * x;
    sy += w * p.kpa;
    sxy += w * x * p.kpa;
  }
  const solved = solveSpd([s, sx, sx, sxx * (1 + 1e-9)], [sy, sxy]);
  if (!solved) return undefined;
  const [finalKpa, riseKpa] = solved as [number, number];
  let chi2 = 0;
  for (const p of points) {
    chi2 += ((p.kpa - finalKpa + riseKpa * Math.exp(-(p.number - 1) / tau)) / p.sdKpa) ** 2;
  }
  return { tau, finalKpa, riseKpa, chi2 };
}

/** A rise below this share of final counts as no build-up. */
const NOTABLE_RISE = 0.1;
/** A check-valve step below this share of the level may be undetected. */
const FAINT = 0.01;
/**
 * Time constant, in strokes, above which the build-up is slow. A check-valve hose must fill first, so its steps
 * shrink by a fixed share even on a sound engine. Trade practice names no figure; these are this project's own.
 */
const SLOW_TAU: Readonly<Record<Hose, number>> = { open: 1.3, 'check-valve': 1.9 };

/** Classifies the build-up. `finalKpa` is the reading's; `points` are the full strokes in order. */
export function classifyBuildUp(
  points: readonly Point[],
  fit: BuildUpFit | null,
  hose: Hose,
  finalKpa: number,
): BuildUp {
  if (points.length < 4) return hose === 'check-valve' && diesOut(points) ? 'normal' : 'undetermined';
  const first = points[0]!;
  const rise = finalKpa - first.kpa;
  if (rise < NOTABLE_RISE * finalKpa) return 'normal';
  if (!fit) return 'normal';
  const early = points.find((p) => p.number >= first.number + 2)!;
  const missing = (finalKpa - early.kpa) / finalKpa;
  const slow = fit.timeConstantStrokes > SLOW_TAU[hose];
  if (slow && missing > 0.04) return 'slow';
  return 'normal';
}

/**
 * True when the first three steps shrink so fast that further ones would hardly add to the level. Undetected strokes
 * are then no loss.
 */
function diesOut([first, second, third]: readonly Point[]): boolean {
  if (!first || !second || !third) return false;
  const step = third.kpa - second.kpa;
  const ratio = step / (second.kpa - first.kpa);
  return ratio < 0.5 && step * ratio < (1 - ratio) * FAINT * third.kpa;
}
