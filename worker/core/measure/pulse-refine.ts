import { solveSpd } from '../statistics.ts';
import {
  FARTHEST_REACH,
  type KnownShape,
  type Measured,
  normalOf,
  reachFor,
  reachOf,
  stepped,
  upperReach,
} from './normal-equations.ts';
import type { Pulse } from './pulse-shape.ts';

/** A pulse with its fitted peak. */
export interface FittedPulse extends Pulse {
  /** Standard deviation of `peakKpa`, kPa, from noise, timing and shape. */
  readonly peakSdKpa: number;
  /** The part of it that is independent between strokes, kPa. */
  readonly ownSdKpa: number;
  /** Squared misfit per degree of freedom. */
  readonly misfit: number;
  readonly samplesUsed: number;
}

/** Deviation of one stroke's shape from the shared one, standard deviations. */
export interface Departure {
  readonly logWidthSd: number;
  readonly skewSd: number;
}

/** Fewest samples in a window. */
const FEWEST = 7;
/** Narrowest window, as a share of that of the upper part. */
const NARROW = 0.5;
/** Largest error of a fitted peak by noise, as a share. */
const TOP_NOISE_SHARE = 0.0022;
/** Misfit above which the shape does not apply. Narrower windows with a free shape are then tried. */
const POOR_MISFIT = 3;
const FREE: Departure = { logWidthSd: 0.6, skewSd: 1 };

/** Fits one stroke, allowing it to deviate from the shared shape, on a window as wide as the shape is valid. */
export function refine(m: Measured, start: Pulse, shared: KnownShape, own: Departure): FittedPulse {
  const prior: KnownShape = {
    shape: shared.shape,
    logWidthSd: Math.hypot(own.logWidthSd, shared.logWidthSd),
    skewSd: Math.hypot(own.skewSd, shared.skewSd),
  };
  // Narrow, since the shape is most accurate near the peak, but with enough samples for the noise.
  const quiet = ((1.5 * m.noiseKpa) / (TOP_NOISE_SHARE * start.peakKpa)) ** 2;
  const upper = upperReach(m, start.peakKpa);
  const narrow = NARROW * upper;
  const reach = Math.max(
    reachFor(m, start.widthS, FEWEST, narrow),
    Math.min(upper, reachFor(m, start.widthS, quiet, narrow)),
  );
  let best = refineOn(m, start, prior, own, widenOverGap(m, start, reach));
  if (best.misfit < POOR_MISFIT) return best;
  for (const narrower of [1, 0.7, 0.5, 0.35]) {
    const tried = refineOn(m, best, { shape: shared.shape, ...FREE }, own, narrower * upper);
    if (tried.samplesUsed < FEWEST - 1) break;
    if (tried.misfit < best.misfit) best = tried;
    if (best.misfit < POOR_MISFIT - 1) break;
  }
  return best;
}

/** Widens a window with too few samples beside a gap, as far as the shape is valid. */
function widenOverGap(m: Measured, pulse: Pulse, reach: number): number {
  for (let r = reach; r < FARTHEST_REACH; r *= 1.25) {
    const [from, to] = reachOf(m, pulse, r);
    if (to - from >= FEWEST) return r;
  }
  return FARTHEST_REACH;
}

/** Gauss-Newton on height, time, width and skew of one pulse. */
function refineOn(m: Measured, start: Pulse, prior: KnownShape, own: Departure, reach: number): FittedPulse {
  let pulse = start;
  for (let round = 1; ; round++) {
    const { a, b, chi2, count } = normalOf(m, pulse, ...reachOf(m, pulse, reach));
    if (count === 0) return { ...pulse, ...UNFITTED };
    a[0]! += 1 / (0.5 * start.peakKpa + m.ambientKpa) ** 2;
    a[5]! += 1 / (0.5 * pulse.widthS) ** 2;
    a[10]! += 1 / prior.logWidthSd ** 2;
    a[15]! += 1 / prior.skewSd ** 2;
    b[2]! -= Math.log(pulse.widthS / prior.shape.widthS) / prior.logWidthSd ** 2;
    b[3]! -= (pulse.skew - prior.shape.skew) / prior.skewSd ** 2;
    const step = solveSpd(a, b);
    if (!step) return { ...pulse, ...UNFITTED };
    const next = stepped(pulse, start, step);
    const still =
      Math.abs(next.timeS - pulse.timeS) < STILL.time * pulse.widthS &&
      Math.abs(next.widthS - pulse.widthS) < STILL.width * pulse.widthS &&
      Math.abs(next.skew - pulse.skew) < STILL.skew;
    pulse = next;
    if (!still && round < ROUNDS) continue;
    // Misfit after the last step, by the linear model.
    const left = chi2 - b[0]! * step[0]! - b[1]! * step[1]! - b[2]! * step[2]! - b[3]! * step[3]!;
    const misfit = Math.max(0, left) / Math.max(1, count - 2);
    const peakSdKpa = topSd(a, misfit);
    a[10]! += 1 / own.logWidthSd ** 2;
    a[15]! += 1 / own.skewSd ** 2;
    const ownSdKpa = Math.min(peakSdKpa, topSd(a, misfit));
    const { peakKpa, timeS, widthS, skew, exponent } = pulse;
    return { peakKpa, timeS, widthS, skew, exponent, peakSdKpa, ownSdKpa, misfit, samplesUsed: count };
  }
}

const ROUNDS = 10;
/**
 * Step, in widths, shares of the width and skew, below which the next hardly changes the peak. The height needs no
 * second step, since the pulse is proportional to it.
 */
const STILL = { time: 4e-3, width: 0.02, skew: 0.1 } as const;
/** Result for a pulse without samples. */
const UNFITTED = {
  peakSdKpa: Number.POSITIVE_INFINITY,
  ownSdKpa: Number.POSITIVE_INFINITY,
  misfit: Number.POSITIVE_INFINITY,
  samplesUsed: 0,
} as const;

/** Standard deviation of the height from the normal matrix, widened by an excess misfit. */
function topSd(a: readonly number[], misfit: number): number {
  const column = solveSpd(a, [1, 0, 0, 0]);
  return column ? Math.sqrt(column[0]! * Math.max(1, misfit)) : Number.POSITIVE_INFINITY;
}
