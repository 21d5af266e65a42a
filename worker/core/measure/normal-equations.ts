import { lowerBound } from '../statistics.ts';
import { apexOf, clampY, type Pulse, type PulseShape, slopeAt, volumeAt, yAtHeight } from './pulse-shape.ts';
import type { Samples } from './samples.ts';

/** Input of the fits. `gauge` is kPa less the zero. */
export interface Measured {
  readonly samples: Samples;
  readonly gauge: Float64Array;
  readonly noiseKpa: number;
  readonly ambientKpa: number;
  /** Jitter of the sample times while cranking, seconds rms. */
  readonly jitterS: number;
}

/** A shape with the standard deviations of ln width and skew. */
export interface KnownShape {
  readonly shape: PulseShape;
  readonly logWidthSd: number;
  readonly skewSd: number;
}

/** Error of the shape near the peak, as a share of the height. */
const SHAPE_SHARE = 0.004;
/**
 * Additional error towards the feet, where valves close and the crank's speed ripples, as a share per squared width.
 */
const FOOT_SHARE = 0.02;
/** Distance from the peak up to which the shape is used, in widths. */
export const FARTHEST_REACH = 2.2;

/** Below this share of the height a pulse depends on valves and leaks more than on its shape. */
const UPPER_SHARE = 0.25;

/**
 * Half width of the window over the upper part, in widths, 1 at most. Narrower for weak cylinders, whose pulses are
 * small against ambient.
 */
export function upperReach(m: Measured, peakKpa: number): number {
  return Math.min(1, yAtHeight(UPPER_SHARE, peakKpa, m.ambientKpa));
}

/** Half width of a window with about `samples` samples, in widths, from `least` to `FARTHEST_REACH`. */
export function reachFor(m: Measured, widthS: number, samples: number, least: number): number {
  return Math.min(FARTHEST_REACH, Math.max(least, samples / (2 * widthS * m.samples.rateHz)));
}

/** Index range [from, to) of the samples within `reach` widths of the peak. */
export function reachOf(m: Measured, pulse: Pulse, reach: number): [number, number] {
  const r = reach * pulse.widthS;
  const { timeS } = m.samples;
  return [lowerBound(timeS, pulse.timeS - r), lowerBound(timeS, pulse.timeS + r)];
}

/**
 * Normal equations of one pulse: matrix (4 x 4, row-major) and right side. Parameters: peak, time, ln width, skew.
 */
export interface Normal {
  readonly a: number[];
  readonly b: number[];
  readonly chi2: number;
  readonly count: number;
}

/**
 * Builds the normal equations over the samples [from, to). This is the innermost loop: no arrays inside, and each
 * entry of the symmetric matrix is summed once.
 */
export function normalOf(m: Measured, pulse: Pulse, from: number, to: number): Normal {
  const { timeS } = m.samples;
  const { gauge, jitterS, ambientKpa } = m;
  const height = pulse.peakKpa + ambientKpa;
  const noise2 = m.noiseKpa ** 2 + 1e-9;
  const { exponent, skew, timeS: topS } = pulse;
  const perS = 1 / pulse.widthS;
  const [topY, topBySkew, topLogV, topTurn] = apexOf(pulse);
  let [aPP, aPT, aPW, aPK, aTT, aTW, aTK, aWW, aWK, aKK] = [0, 0, 0, 0, 0, 0, 0, 0, 0, 0];
  let [bP, bT, bW, bK] = [0, 0, 0, 0];
  let chi2 = 0;
  for (let i = from; i < to; i++) {
    const x = (timeS[i]! - topS) * perS;
    const y = clampY(x + topY);
    const turn = Math.atan(y) - topTurn;
    // The pulse and its derivatives by height, time, ln width and skew.
    const p = Math.exp(exponent * (topLogV - Math.log(volumeAt(y))) - skew * turn);
    const absolute = height * p;
    const slope = absolute * slopeAt(y, skew, exponent);
    const byTime = -slope * perS;
    const w = -slope * x;
    const k = slope * topBySkew - absolute * turn;
    const out = Math.max(0, Math.abs(x) - 0.8);
    const shapeSd = height * (SHAPE_SHARE + FOOT_SHARE * out * out);
    const timingSd = byTime * jitterS;
    let weight = 1 / (noise2 + shapeSd * shapeSd + timingSd * timingSd);
    const off = gauge[i]! - absolute + ambientKpa;
    const z2 = off * off * weight;
    // Huber weights: the pull of a sample is constant beyond three standard deviations.
    if (z2 > 9) {
      const z = Math.sqrt(z2);
      weight *= 3 / z;
      chi2 += 6 * z - 9;
    } else chi2 += z2;
    const wp = weight * p;
    const wt = weight * byTime;
    const ww = weight * w;
    const wk = weight * k;
    bP += wp * off;
    bT += wt * off;
    bW += ww * off;
    bK += wk * off;
    aPP += wp * p;
    aPT += wp * byTime;
    aPW += wp * w;
    aPK += wp * k;
    aTT += wt * byTime;
    aTW += wt * w;
    aTK += wt * k;
    aWW += ww * w;
    aWK += ww * k;
    aKK += wk * k;
  }
  const a = [aPP, aPT, aPW, aPK, aPT, aTT, aTW, aTK, aPW, aTW, aWW, aWK, aPK, aTK, aWK, aKK];
  return { a, b: [bP, bT, bW, bK], chi2, count: to - from };
}

/** Largest change per step and in total: ln width, time in widths, share of the height, skew. */
const STEP = { logWidth: 0.3, time: 0.4, peak: 0.5, skew: 0.5 };
const FAR = { logWidth: 1, time: 1.2, skew: 4.5 };

/** One limited step from `pulse`. `first` is the start of the fit. */
export function stepped(pulse: Pulse, first: Pulse, step: readonly number[]): Pulse {
  const { peakKpa, timeS, widthS } = pulse;
  const far = FAR.time * first.widthS;
  const wide = Math.log(widthS / first.widthS) + clamp(step[2]!, STEP.logWidth);
  return {
    peakKpa: Math.max(0.3 * peakKpa, peakKpa + clamp(step[0]!, STEP.peak * peakKpa)),
    timeS: first.timeS + clamp(timeS + clamp(step[1]!, STEP.time * widthS) - first.timeS, far),
    widthS: first.widthS * Math.exp(clamp(wide, FAR.logWidth)),
    skew: clamp(pulse.skew + clamp(step[3]!, STEP.skew), FAR.skew),
    exponent: pulse.exponent,
  };
}

const clamp = (v: number, limit: number) => (Number.isFinite(v) ? Math.max(-limit, Math.min(limit, v)) : 0);
