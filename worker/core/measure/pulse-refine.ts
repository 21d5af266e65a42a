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

/** A pulse with its top fitted. */
export interface FittedPulse extends Pulse {
  /** Standard deviation of `peakKpa`, kPa, noise, timing and shape together. */
  readonly peakSdKpa: number;
  /** The part of it that other strokes do not share, kPa. */
  readonly ownSdKpa: number;
  /** Squared misfit per degree of freedom. */
  readonly misfit: number;
  readonly samplesUsed: number;
}

/** How far one stroke's shape departs from the shared one. */
export interface Departure {
  readonly logWidthSd: number;
  readonly skewSd: number;
}

/** Fewest samples that make a window. */
const FEWEST = 7;
/** The narrowest window, as a share of that of the upper part. */
const NARROW = 0.5;
/** Noise may move a fitted top by this share of it. */
const TOP_NOISE_SHARE = 0.0022;
/** Worse than this the shape does not hold: narrower windows are tried, with the shape left to the samples. */
const POOR_MISFIT = 3;
const FREE: Departure = { logWidthSd: 0.6, skewSd: 1 };

/** Lets one stroke depart from the shared shape, on a window as wide as the shape holds. */
export function refine(m: Measured, start: Pulse, shared: KnownShape, own: Departure): FittedPulse {
  const prior: KnownShape = {
    shape: shared.shape,
    logWidthSd: Math.hypot(own.logWidthSd, shared.logWidthSd),
    skewSd: Math.hypot(own.skewSd, shared.skewSd),
  };
  // narrow, for the shape is surest near the top, but with samples enough to see it through the noise
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

/** Where a gap leaves too few samples in the window, it is opened until there are enough, as far as the shape stands. */
function widenOverGap(m: Measured, pulse: Pulse, reach: number): number {
  for (let r = reach; r < FARTHEST_REACH; r *= 1.25) {
    const [from, to] = reachOf(m, pulse, r);
    if (to - from >= FEWEST) return r;
  }
  return FARTHEST_REACH;
}

/** Gauss and Newton on height, time, width and skew of one pulse. */
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
    // what the last step has made of it
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
 * After a step shorter than this, in widths, shares of the width and skew, the next hardly moves the top. The height itself
 * needs no second step: the pulse is proportional to it.
 */
const STILL = { time: 4e-3, width: 0.02, skew: 0.1 } as const;
/** What is known of a pulse that no sample tells of. */
const UNFITTED = {
  peakSdKpa: Number.POSITIVE_INFINITY,
  ownSdKpa: Number.POSITIVE_INFINITY,
  misfit: Number.POSITIVE_INFINITY,
  samplesUsed: 0,
} as const;

/** Standard deviation of the height from the normal matrix, widened by a misfit beyond the expected one. */
function topSd(a: readonly number[], misfit: number): number {
  const column = solveSpd(a, [1, 0, 0, 0]);
  return column ? Math.sqrt(column[0]! * Math.max(1, misfit)) : Number.POSITIVE_INFINITY;
}
