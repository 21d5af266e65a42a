import { median, quantile, thinned } from './statistics.ts';
import type { Gap, Trace } from './trace.ts';

/** A trace made ready for reading: spikes gone, every gap known. Pressures as the sensor reported them, kPa. */
export interface Samples {
  readonly timeS: Float64Array;
  readonly pressureKpa: Float64Array;
  /** Stretches without samples, given or found, ascending. */
  readonly gaps: readonly Gap[];
  /** Median samples a second; NaN with fewer than two samples. */
  readonly rateHz: number;
  /** Irregularity of the sample times, seconds rms. */
  readonly jitterS: number;
  /** First guess of the noise, kPa rms, from second differences; the quiet part tells better. */
  readonly noiseKpa: number;
  readonly spikes: number;
}

/** A silence this many sample periods long is a gap. */
const GAP_PERIODS = 2.6;
/** No cranking pulse is narrower at its foot than this, seconds: what comes and goes faster is no pressure. */
const SHORTEST_PULSE_S = 0.02;

export function prepareSamples(trace: Trace): Samples {
  const { timeS, pressureKpa } = trace;
  const n = timeS.length;
  const steps = new Float64Array(Math.max(0, n - 1));
  for (let i = 1; i < n; i++) steps[i - 1] = timeS[i]! - timeS[i - 1]!;
  const stepS = median(thinned(steps));
  const gaps = findGaps(timeS, stepS, trace.gaps);
  const jitterS = (median(thinned(steps).map((s) => Math.abs(s - stepS))) * 1.4826) / Math.SQRT2;
  const noiseKpa = roughNoise(pressureKpa);
  const kept = withoutSpikes(timeS, pressureKpa, stepS, noiseKpa);
  return {
    ...kept,
    gaps,
    rateHz: 1 / stepS,
    jitterS: Number.isFinite(jitterS) ? jitterS : 0,
    noiseKpa,
    spikes: n - kept.timeS.length,
  };
}

/** Given gaps and silences, merged where they overlap. */
function findGaps(timeS: Float64Array, stepS: number, given: readonly Gap[]): Gap[] {
  const found: Gap[] = given.filter((g) => g.endS > g.startS);
  for (let i = 1; i < timeS.length; i++) {
    const startS = timeS[i - 1]!;
    const endS = timeS[i]!;
    if (endS - startS <= GAP_PERIODS * stepS) continue;
    if (!given.some((g) => g.startS < endS && g.endS > startS))
      found.push({ startS, endS, reason: 'silence' });
  }
  return found.sort((a, b) => a.startS - b.startS);
}

/** Second differences of white noise have variance 6 s2; a low quantile leaves pulses and spikes out. */
function roughNoise(p: Float64Array): number {
  if (p.length < 5) return 0;
  const bends = new Float64Array(p.length - 2);
  let quantum = Number.POSITIVE_INFINITY;
  for (let i = 1; i < p.length - 1; i++) {
    bends[i - 1] = Math.abs(p[i - 1]! - 2 * p[i]! + p[i + 1]!);
    const step = Math.abs(p[i]! - p[i - 1]!);
    if (step > 1e-9 && step < quantum) quantum = step;
  }
  // 0.385 is the 30 % point of |N(0, 1)|; a coarse converter can hide its noise below one step
  const fromBends = quantile(thinned(bends), 0.3) / 0.385 / Math.sqrt(6);
  return Math.max(fromBends, Number.isFinite(quantum) ? quantum / Math.sqrt(12) : 0);
}

/**
 * Leaves out samples, one or two in a row, that stand off from both sides although the sides agree with each other.
 * Only where samples are dense enough that a compression pulse could not look like that.
 */
function withoutSpikes(timeS: Float64Array, p: Float64Array, stepS: number, noiseKpa: number) {
  const n = p.length;
  const limit = 10 * noiseKpa + 2;
  const widest = Math.min(2, Math.floor(SHORTEST_PULSE_S / stepS) - 1);
  const bad: number[] = [];
  for (let i = 1; i < n - 1; i++) {
    // nearly every sample is near the one before it
    if (Math.abs(p[i]! - p[i - 1]!) < limit) continue;
    for (let width = 1; width <= widest && i + width < n; width++) {
      if (!isSpike(timeS, p, i, width, limit, stepS)) continue;
      for (let k = 0; k < width; k++) bad.push(i + k);
      i += width;
      break;
    }
  }
  if (bad.length === 0) return { timeS, pressureKpa: p };
  return { timeS: without(timeS, bad), pressureKpa: without(p, bad) };
}

/** True when the step to the `width` samples from `i` dwarfs the steps around them, which no top of a pulse does. */
function isSpike(
  timeS: Float64Array,
  p: Float64Array,
  i: number,
  width: number,
  limit: number,
  stepS: number,
): boolean {
  const last = i + width;
  const left = p[i - 1]!;
  const right = p[last]!;
  const high = Math.max(left, right);
  const low = Math.min(left, right);
  const off = Math.min(
    Math.max(p[i]! - high, low - p[i]!),
    Math.max(p[last - 1]! - high, low - p[last - 1]!),
  );
  if (off < limit || timeS[last]! - timeS[i - 1]! > (width + 3) * stepS) return false;
  let around = high - low;
  if (i >= 2) around = Math.max(around, Math.abs(left - p[i - 2]!));
  if (last + 1 < p.length) around = Math.max(around, Math.abs(p[last + 1]! - right));
  return off > 3 * around;
}

/** `values` without those at the ascending places `bad`. */
function without(values: Float64Array, bad: readonly number[]): Float64Array {
  const kept = new Float64Array(values.length - bad.length);
  let from = 0;
  let to = 0;
  for (const at of [...bad, values.length]) {
    kept.set(values.subarray(from, at), to);
    to += at - from;
    from = at + 1;
  }
  return kept;
}
