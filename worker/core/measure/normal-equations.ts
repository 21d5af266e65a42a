import { lowerBound } from '../statistics.ts';
import { apexOf, clampY, type Pulse, type PulseShape, slopeAt, volumeAt, yAtHeight } from './pulse-shape.ts';
import type { Samples } from './samples.ts';

/** What the fits look at. `gauge` is kPa with the zero off. */
export interface Measured {
  readonly samples: Samples;
  readonly gauge: Float64Array;
  readonly noiseKpa: number;
  readonly ambientKpa: number;
  /** Irregularity of the sample times while the engine was cranked, seconds rms. */
  readonly jitterS: number;
}

/** A shape and how surely it is known: standard deviations of ln width and of skew. */
export interface KnownShape {
  readonly shape: PulseShape;
  readonly logWidthSd: number;
  readonly skewSd: number;
}

/** The shape is not known better than this share of the height. */
const SHAPE_SHARE = 0.004;
/** Towards its feet, where valves close and the crank's speed ripples, still less: share a squared width. */
const FOOT_SHARE = 0.02;
/** Widths from the top as far as the shape stands for anything. */
export const FARTHEST_REACH = 2.2;

/** Below this share of the height a pulse is told by valves and leaks more than by its shape. */
const UPPER_SHARE = 0.25;

/** The window of the upper part, widths to each side, 1 at most: narrower for weak cylinders, whose pulses stand on ambient. */
export function upperReach(m: Measured, peakKpa: number): number {
  return Math.min(1, yAtHeight(UPPER_SHARE, peakKpa, m.ambientKpa));
}

/** Widths to each side of the top that hold about `samples` samples, within what the shape stands for. */
export function reachFor(m: Measured, widthS: number, samples: number, least: number): number {
  return Math.min(FARTHEST_REACH, Math.max(least, samples / (2 * widthS * m.samples.rateHz)));
}

/** Index range of the samples within `reach` widths of the top. */
export function reachOf(m: Measured, pulse: Pulse, reach: number): [number, number] {
  const r = reach * pulse.widthS;
  const { timeS } = m.samples;
  return [lowerBound(timeS, pulse.timeS - r), lowerBound(timeS, pulse.timeS + r)];
}

/** Normal equations of one pulse: matrix (4 x 4, row by row) and right side, by peak, time, ln width and skew. */
export interface Normal {
  readonly a: number[];
  readonly b: number[];
  readonly chi2: number;
  readonly count: number;
}

/** The innermost loop of the measuring: no arrays inside it, and each entry of the symmetric matrix summed once. */
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
    // the pulse here and its derivatives by height, time, ln width and skew
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
    // Huber: a sample further off than three deviations pulls no harder than one at three
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

/** Longest steps that are trusted, and how far a fit may end from where it began: ln width, widths, share of the height. */
const STEP = { logWidth: 0.3, time: 0.4, peak: 0.5, skew: 0.5 };
const FAR = { logWidth: 1, time: 1.2, skew: 4.5 };

/** One step from `pulse`, cut to what is trusted; `first` is where the fit began. */
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
