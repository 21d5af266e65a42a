import { highest, lowerBound, median } from '../statistics.ts';
import type { Samples } from './samples.ts';
import type { FoundStroke } from './strokes.ts';

/** One step of a check-valve trace: the end of the rise and the level held after it. */
export interface HeldStep extends FoundStroke {
  readonly peakKpa: number;
  /** Pressure below `peakKpa` at which `timeS` was taken, kPa; 0 for a faint step. */
  readonly marginKpa: number;
  /** Standard deviation of `timeS` by sampling and noise, seconds; infinite for a step below the noise. */
  readonly timeSdS: number;
  /** True when the step exceeds the noise, so that its time is precise. */
  readonly sharp: boolean;
}

/** The hold after the last step: slope in kPa/s and its standard deviation, NaN when too short. */
interface Tail {
  readonly slope: number;
  readonly sd: number;
  readonly lengthS: number;
}

/** Index range of a rise. */
interface Stretch {
  readonly from: number;
  readonly to: number;
  /** Found by averages only: its rise, kPa. Its time is less precise. */
  readonly faintKpa?: number;
}

/** Mean and slope of any stretch of the trace in constant time. */
interface Sums {
  mean(from: number, to: number): number;
  /** Line fitted to a stretch: value at its first sample (kPa), slope (kPa/s), sum of squared times (s2). */
  line(from: number, to: number): { atStart: number; slope: number; spreadS2: number };
}

/** Uses prefix sums. */
function sumsOf(timeS: Float64Array, gauge: Float64Array): Sums {
  const originS = timeS[0] ?? 0;
  const zeros = () => new Float64Array(timeS.length + 1);
  const [t, v, tt, tv] = [zeros(), zeros(), zeros(), zeros()];
  for (let i = 0; i < timeS.length; i++) {
    const s = timeS[i]! - originS;
    const kpa = gauge[i]!;
    t[i + 1] = t[i]! + s;
    v[i + 1] = v[i]! + kpa;
    tt[i + 1] = tt[i]! + s * s;
    tv[i + 1] = tv[i]! + s * kpa;
  }
  const mean = (sums: Float64Array, from: number, to: number) => (sums[to]! - sums[from]!) / (to - from);
  return {
    mean: (from, to) => mean(v, from, to),
    line(from, to) {
      const middleS = mean(t, from, to);
      const kpa = mean(v, from, to);
      const spreadS2 = tt[to]! - tt[from]! - (to - from) * middleS * middleS;
      const slope = spreadS2 > 0 ? (tv[to]! - tv[from]! - (to - from) * middleS * kpa) / spreadS2 : 0;
      return { atStart: kpa + slope * (timeS[from]! - originS - middleS), slope, spreadS2 };
    },
  };
}

/** Steps of a check-valve trace and the hold after the last. */
export interface HeldTrace {
  readonly steps: readonly HeldStep[];
  readonly tail: Tail;
}

/** Window in which a step must exceed the noise, seconds. */
const WINDOW_S = 0.03;
/** Least level of a step, as a share of the highest. */
const LEAST_LEVEL_SHARE = 0.02;

/** Finds the steps of a check-valve trace. `gauge` is kPa less the zero. */
export function findHeldSteps(samples: Samples, gauge: Float64Array, noiseKpa: number): HeldTrace {
  const { timeS } = samples;
  const sums = sumsOf(timeS, gauge);
  const window = Math.max(2, Math.round(WINDOW_S * samples.rateHz));
  const top = highest(gauge);
  const limit = Math.max(6 * noiseKpa * Math.sqrt(2 / window), 0.004 * top, 1);
  const runs = risingRuns(gauge.length, sums, window, limit);
  const steps = mergeClose(runs, timeS);
  const periodS = stepPeriod(steps, timeS);
  const all = periodS > 0 ? splitLong(steps, timeS, sums, noiseKpa, periodS) : steps;
  return describe(all, samples, gauge, sums, noiseKpa, top);
}

function risingRuns(n: number, sums: Sums, window: number, limit: number): Stretch[] {
  const runs: Stretch[] = [];
  let from = -1;
  for (let i = window; i + window <= n; i++) {
    const rising = sums.mean(i, i + window) - sums.mean(i - window, i) > limit;
    if (rising && from < 0) from = i;
    if (!rising && from >= 0) {
      runs.push({ from, to: i });
      from = -1;
    }
  }
  if (from >= 0) runs.push({ from, to: n - window });
  return runs;
}

/** Merges two rises of one compression (a crank that stalls on the way up) into one step. */
function mergeClose(runs: readonly Stretch[], timeS: Float64Array): Stretch[] {
  const period = stepPeriod(runs, timeS);
  const merged: Stretch[] = [];
  for (const run of runs) {
    const previous = merged.at(-1);
    if (previous && period > 0 && timeS[run.to]! - timeS[previous.to]! < 0.5 * period) {
      merged[merged.length - 1] = { from: previous.from, to: run.to };
    } else merged.push(run);
  }
  return merged;
}

/**
 * Median interval between the ends of the first steps, which are the large ones, seconds. NaN with fewer than two.
 */
function stepPeriod(runs: readonly Stretch[], timeS: Float64Array): number {
  const gaps: number[] = [];
  for (let i = 1; i < Math.min(runs.length, 6); i++) gaps.push(timeS[runs[i]!.to]! - timeS[runs[i - 1]!.to]!);
  const longest = Math.max(...gaps);
  return gaps.length === 0 ? Number.NaN : median(gaps.filter((g) => g > 0.3 * longest));
}

/**
 * Searches for steps too small to exceed the noise at the times when further strokes are due, by averages over a
 * whole period.
 */
function splitLong(
  steps: readonly Stretch[],
  timeS: Float64Array,
  sums: Sums,
  noiseKpa: number,
  periodS: number,
) {
  const out: Stretch[] = [];
  for (let i = 0; i < steps.length; i++) {
    out.push(steps[i]!);
    const end = steps[i + 1]?.from ?? timeS.length;
    let at = timeS[steps[i]!.to]!;
    while (true) {
      const due = at + periodS;
      const split = bestSplit(timeS, sums, lowerBound(timeS, at), end, due, periodS);
      if (!split || split.rise < 4 * noiseKpa * split.unit + 0.15) break;
      out.push({ from: split.index, to: split.index, faintKpa: split.rise });
      at = timeS[split.index]!;
    }
  }
  return out;
}

/**
 * Best position of a step near `dueS`: rise of the mean and its standard deviation in units of the noise. `undefined`
 * when samples are too few.
 */
function bestSplit(
  timeS: Float64Array,
  sums: Sums,
  from: number,
  end: number,
  dueS: number,
  periodS: number,
) {
  const low = lowerBound(timeS, dueS - 0.15 * periodS);
  const high = Math.min(lowerBound(timeS, dueS + 0.15 * periodS), end - 1);
  let best: { index: number; rise: number; unit: number } | undefined;
  for (let i = low; i < high; i++) {
    const a = Math.max(from, lowerBound(timeS, timeS[i]! - 0.7 * periodS));
    const b = Math.min(end, lowerBound(timeS, timeS[i]! + 0.7 * periodS));
    if (i - a < 4 || b - i < 4 || timeS[b - 1]! - timeS[i]! < 0.3 * periodS) continue;
    const rise = sums.mean(i, b) - sums.mean(a, i);
    const unit = Math.sqrt(1 / (i - a) + 1 / (b - i));
    if (!best || rise / unit > best.rise / best.unit) best = { index: i, rise, unit };
  }
  return best;
}

function describe(
  runs: readonly Stretch[],
  samples: Samples,
  gauge: Float64Array,
  sums: Sums,
  noiseKpa: number,
  top: number,
): HeldTrace {
  const { timeS } = samples;
  let tail: Tail = { slope: Number.NaN, sd: Number.NaN, lengthS: 0 };
  const steps = runs.map((run, i): HeldStep => {
    const next = runs[i + 1]?.from ?? timeS.length;
    const from = Math.min(run.to, next - 1);
    const { peakKpa, peakSdKpa, slope, sd } = level(sums, from, next, noiseKpa);
    if (i === runs.length - 1) tail = { slope, sd, lengthS: timeS[next - 1]! - timeS[from]! };
    const sharp = run.faintKpa === undefined;
    const riseKpa = peakKpa - gauge[run.from]!;
    const marginKpa = sharp ? Math.max(2 * noiseKpa, END_SHARE * riseKpa) : 0;
    const endS = riseEndS(timeS, gauge, run, peakKpa - marginKpa);
    const intervalS = 1 / samples.rateHz;
    const timeSdS = sharp ? SHARP_INTERVALS * intervalS : faintTimeSdS(intervalS, noiseKpa / run.faintKpa!);
    return { timeS: endS, peakKpa, peakSdKpa, ownSdKpa: peakSdKpa, sharp, marginKpa, timeSdS };
  });
  // A rise without a lasting level is drift, not a stroke.
  return { steps: steps.filter((s) => s.peakKpa > LEAST_LEVEL_SHARE * top), tail };
}

/** Level at the start of a plateau: its mean, or the start of its fitted line when it clearly falls. */
function level(sums: Sums, from: number, to: number, noiseKpa: number) {
  const n = to - from;
  const line = sums.line(from, to);
  const sd = line.spreadS2 > 0 ? noiseKpa / Math.sqrt(line.spreadS2) : Number.NaN;
  const sinks = n >= 8 && line.slope < -4 * sd;
  const peakSdKpa = (noiseKpa * (sinks ? 2 : 1)) / Math.sqrt(n);
  return { peakKpa: sinks ? line.atStart : sums.mean(from, to), peakSdKpa, slope: line.slope, sd };
}

/** Share of a rise below the level at which the rise counts as ended. */
const END_SHARE = 0.03;

/** Standard deviation of the time of a sharp step, in sample intervals. */
const SHARP_INTERVALS = 0.35;

/**
 * Standard deviation of the time of a faint step, seconds: some sample intervals, growing as the square of noise over
 * step (Hinkley 1970, recalled). Infinite for a step smaller than the noise, which may be none.
 */
const faintTimeSdS = (intervalS: number, noiseOverStep: number): number =>
  noiseOverStep > 1 ? Number.POSITIVE_INFINITY : intervalS * (1 + 3 * noiseOverStep ** 2);

/** Time at which the rise reaches `near`, interpolated between samples. */
function riseEndS(timeS: Float64Array, gauge: Float64Array, run: Stretch, near: number): number {
  let i = run.from;
  while (i < run.to && gauge[i]! < near) i++;
  if (i === run.from || i === run.to) return timeS[i]!;
  const share = (near - gauge[i - 1]!) / (gauge[i]! - gauge[i - 1]!);
  return timeS[i - 1]! + share * (timeS[i]! - timeS[i - 1]!);
}
