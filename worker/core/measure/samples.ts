import { median, quantile } from '../statistics.ts';
import type { Gap, SampleBlock, Trace } from '../trace.ts';
import { withoutSpikes } from './spikes.ts';

/** When a trace was sampled and how well, once it is ready for reading. Its pressures go beside it, one for each time. */
export interface Samples {
  /** Seconds since `originS`, in whole tenths of microseconds, so that a capture reads the same whenever it was taken. */
  readonly timeS: Float64Array;
  /** Time of the first sample on the trace's own clock. */
  readonly originS: number;
  /** Stretches without samples, given or found, ascending, on the clock of `timeS`. */
  readonly gaps: readonly Gap[];
  /** Median samples a second here; NaN with fewer than two samples. */
  readonly rateHz: number;
  /** Median samples a second as the sensor sent them. */
  readonly sensorRateHz: number;
  /** First guess of the noise, kPa rms, from second differences; the quiet part tells better. */
  readonly noiseKpa: number;
  /** Rounding noise of a converter whose step shows in the data, kPa rms; 0 when none shows. */
  readonly roundingKpa: number;
  readonly spikes: number;
}

/** Above twice this rate neighbouring samples are put together: tops are seen as well, with less noise and at less cost. */
const ENOUGH_HZ = 400;

/** A silence this many sample periods long is a gap. */
const GAP_PERIODS = 2.6;

/**
 * Spikes gone, every gap known, dense samples put together. `reportedKpa` are the pressures as the sensor reports them, a
 * copy that the caller may change.
 */
export function prepareSamples(trace: Trace): { samples: Samples; reportedKpa: Float64Array } {
  const { timeS, pressureKpa } = trace;
  const originS = timeS[0] ?? 0;
  const stepS = usualStep(timeS);
  const gaps = findGaps(timeS, stepS, trace.gaps);
  const roundingKpa = roundingOf(pressureKpa);
  const noiseKpa = Math.max(roughNoise(pressureKpa), roundingKpa);
  const kept = withoutSpikes(trace, stepS, noiseKpa);
  const sensorRateHz = 1 / stepS;
  const dense = sensorRateHz >= 2 * ENOUGH_HZ;
  let rateHz = dense ? sensorRateHz / 2 : sensorRateHz;
  let enough = paired(kept, dense ? GAP_PERIODS * stepS : ALONE, originS);
  for (; rateHz >= 2 * ENOUGH_HZ; rateHz /= 2) enough = paired(enough, GAP_PERIODS / rateHz, 0);
  return {
    samples: {
      timeS: enough.timeS,
      originS,
      gaps: gaps.map((g) => ({ ...g, startS: since(g.startS, originS), endS: since(g.endS, originS) })),
      rateHz,
      sensorRateHz,
      noiseKpa: dense ? Math.max(roughNoise(enough.pressureKpa), roundingKpa) : noiseKpa,
      roundingKpa,
      spikes: timeS.length - kept.timeS.length,
    },
    reportedKpa: enough.pressureKpa,
  };
}

/** To a tenth of a microsecond. Half the time of `Math.round`, which branches. */
const since = (t: number, originS: number) => Math.floor((t - originS) * 1e7 + 0.5) / 1e7;

/** Median distance of neighbouring samples, seconds to nine digits; NaN with fewer than two. */
const usualStep = (timeS: Float64Array) =>
  Math.round(median(picked(timeS, 1, (i) => timeS[i]! - timeS[i - 1]!)) * 1e9) / 1e9;

/** Irregularity of ascending times, `stepS` apart as a rule, seconds rms. */
export function jitterOf(timeS: Float64Array, stepS: number): number {
  const off = median(picked(timeS, 1, (i) => Math.abs(timeS[i]! - timeS[i - 1]! - stepS)));
  return Number.isFinite(off) ? (off * 1.4826) / Math.SQRT2 : 0;
}

/** What `of` says at some 5000 places evenly spread from `margin` on: enough to know a quantile by. */
function picked(values: Float64Array, margin: number, of: (i: number) => number): Float64Array {
  const count = Math.max(0, values.length - margin);
  const stride = Math.max(1, Math.ceil(count / PICKED));
  const out = new Float64Array(Math.floor(count / stride));
  for (let k = 0; k < out.length; k++) out[k] = of(margin + k * stride);
  return out;
}
const PICKED = 5000;

/** No two samples are this close: each stays by itself. */
const ALONE = -1;

/** A copy, its times from `originS` on, with the means of neighbours no further apart than `gapS`, two by two. */
function paired({ timeS, pressureKpa }: SampleBlock, gapS: number, originS: number): SampleBlock {
  const n = timeS.length;
  const times = new Float64Array(n);
  const kpas = new Float64Array(n);
  let count = 0;
  for (let i = 0; i < n; count++) {
    const t = timeS[i]!;
    const kpa = pressureKpa[i++]!;
    if (i < n && timeS[i]! - t <= gapS) {
      times[count] = since((t + timeS[i]!) / 2, originS);
      kpas[count] = (kpa + pressureKpa[i++]!) / 2;
    } else {
      times[count] = since(t, originS);
      kpas[count] = kpa;
    }
  }
  return { timeS: times.subarray(0, count), pressureKpa: kpas.subarray(0, count) };
}

/** Given gaps and silences, merged where they overlap. */
function findGaps(timeS: Float64Array, stepS: number, given: readonly Gap[]): Gap[] {
  const found: Gap[] = given.filter((g) => g.endS > g.startS);
  const known = (startS: number, endS: number) => given.some((g) => g.startS < endS && g.endS > startS);
  for (const i of silences(timeS, GAP_PERIODS * stepS)) {
    const [startS, endS] = [timeS[i - 1]!, timeS[i]!];
    if (!known(startS, endS)) found.push({ startS, endS, reason: 'silence' });
  }
  return found.sort((a, b) => a.startS - b.startS);
}

/** Where a sample comes more than `longestS` after the one before it. */
function silences(timeS: Float64Array, longestS: number): number[] {
  const found: number[] = [];
  const n = timeS.length;
  for (let i = 2; i <= n; i += 2) {
    // two steps together no longer than this: neither is a silence
    if (timeS[Math.min(i, n - 1)]! - timeS[i - 2]! <= longestS) continue;
    if (timeS[i - 1]! - timeS[i - 2]! > longestS) found.push(i - 1);
    if (i < n && timeS[i]! - timeS[i - 1]! > longestS) found.push(i);
  }
  return found;
}

/** Second differences of white noise have variance 6 s2; a low quantile leaves pulses and spikes out. */
function roughNoise(p: Float64Array): number {
  if (p.length < 5) return 0;
  const bends = picked(p, 2, (i) => Math.abs(p[i - 2]! - 2 * p[i - 1]! + p[i]!));
  // 0.385 is the 30 % point of |N(0, 1)|
  return quantile(bends, 0.3) / 0.385 / Math.sqrt(6);
}

/** A coarse converter can hide its noise below one step, the smallest distance of neighbours that differ. */
function roundingOf(p: Float64Array): number {
  const steps = picked(p, 1, (i) => Math.abs(p[i]! - p[i - 1]!));
  let step = Number.POSITIVE_INFINITY;
  for (const s of steps) if (s > 1e-9 && s < step) step = s;
  return Number.isFinite(step) ? step / Math.sqrt(12) : 0;
}
