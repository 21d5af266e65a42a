import { median } from '../core/statistics.ts';
import type { DialReading } from './read-dial.ts';

/** One rise of the needle, and the level that it led to. */
interface Rise {
  /** Time at which it was half done, s. */
  readonly timeS: number;
  /** Level held before the next rise (after the last one: at the end), in the unit of the readings. */
  readonly level: number;
}

/** Strokes of a check-valve gauge as its needle showed them. */
export interface Staircase {
  readonly rises: readonly Rise[];
  /** Why a count may be wrong; empty when the clip is good. */
  readonly doubts: readonly StaircaseDoubt[];
}

/** Why rises may be missing. */
type StaircaseDoubt =
  /** Refused frames hid a time in which two rises fit, or the end. */
  | 'gap'
  /** Under 24 frames a second: two rises may look like one. */
  | 'slow-frames'
  /** Rises came so fast that the needle did not settle between them, as at a two-stroke: some may be missing. */
  | 'fast-strokes'
  /** The first frames already show a pressure. */
  | 'started-late';

/** Shortest time between two compressions of a cylinder, s: 430 rpm of a two-stroke. */
const LEAST_PERIOD_S = 0.14;
/** Half of the time over which the comparison smears a step, s. */
const FLANK_S = 0.05;
/** For so long after a rise, s, a second one under this share of it is the needle swinging back from its undershoot. */
const RINGING_S = 0.3;
const RINGING_SHARE = 0.08;
/** Smallest rise that can be told from ringing and noise, share of full scale. */
const LEAST_RISE = 0.006;
/** Times around a rise whose readings are compared, s: the ringing after it has died down. */
const BEFORE_S = [0.01, 0.1] as const;
const AFTER_S = [0.06, 0.15] as const;
/** Shortest time between rises that a needle settles in, s: 350 rpm of a four-stroke. */
const SETTLES_S = 0.34;
/** Longest refused time that cannot hide two rises, s: below the period of a four-stroke at 430 rpm. */
const MOST_GAP_S = 0.26;

interface Sample {
  readonly timeS: number;
  readonly value: number;
}

/**
 * Finds the rises in the readings of a clip and the level before each next rise. The needle overshoots after a rise, so
 * its highest position is never used.
 */
export function readStaircase(readings: readonly DialReading[], fullScale: number): Staircase {
  const samples = readings.flatMap(({ timeS, value }) => (value === null ? [] : [{ timeS, value }]));
  const times = pickRises(samples, fullScale);
  const lastS = samples.at(-1)?.timeS ?? 0;
  const rises = times.map((timeS, i) => ({
    timeS,
    level: levelBefore(samples, timeS, times[i + 1] ?? lastS + 0.05),
  }));
  return { rises, doubts: doubtsOf(readings, samples, times, fullScale) };
}

/** Levels in the form in which typed readings take them, one a rise. */
export const strokeLevels = ({ rises }: Staircase): number[] => rises.map(({ level }) => level);

/** Middles of the rises: peaks of the step between the readings after and before each moment. */
function pickRises(samples: readonly Sample[], fullScale: number): number[] {
  const least = Math.max(LEAST_RISE * fullScale, 4 * noiseOf(samples));
  const steps = samples.map(({ timeS }, i) => ({ timeS, step: stepAt(samples, i) }));
  // A flank of a larger step is no step of its own.
  const isTop = ({ timeS, step }: { timeS: number; step: number }) =>
    steps.every((other) => Math.abs(other.timeS - timeS) > FLANK_S || other.step <= step);
  const strongest = steps.filter((one) => one.step > least && isTop(one)).sort((a, b) => b.step - a.step);
  const picked: { timeS: number; step: number }[] = [];
  for (const one of strongest) {
    const isOwn = picked.every((other) => {
      const sinceS = one.timeS - other.timeS;
      const isRinging = sinceS > 0 && sinceS < RINGING_S && one.step < RINGING_SHARE * other.step;
      return Math.abs(sinceS) > LEAST_PERIOD_S && !isRinging;
    });
    if (isOwn) picked.push(one);
  }
  return picked.map(({ timeS }) => timeS).sort((a, b) => a - b);
}

/** Median of the readings shortly after a moment over that of those before it. */
function stepAt(samples: readonly Sample[], i: number): number {
  const { timeS } = samples[i]!;
  const before = valuesIn(samples, timeS - BEFORE_S[1], timeS - BEFORE_S[0]);
  const after = valuesIn(samples, timeS + AFTER_S[0], timeS + AFTER_S[1]);
  // A smeared rise leaves a gap; the readings after it show the step all the same.
  const later = after.length >= 2 ? after : firstAfter(samples, i, timeS + AFTER_S[0]);
  if (before.length < 1 || later.length < 2) return 0;
  return median(later) - median(before);
}

/** The next two readings, where they come within the longest gap. */
function firstAfter(samples: readonly Sample[], i: number, fromS: number): number[] {
  const next = samples.slice(i + 1).filter(({ timeS }) => timeS >= fromS);
  return next.slice(0, 2).flatMap(({ timeS, value }) => (timeS - fromS < MOST_GAP_S + 0.1 ? [value] : []));
}

/** Median of the last readings before the needle begins to rise again. */
function levelBefore(samples: readonly Sample[], fromS: number, nextS: number): number {
  const settled = valuesIn(samples, Math.max(fromS + 0.1, nextS - 0.16), nextS - 0.045);
  if (settled.length > 0) return median(settled);
  const any = valuesIn(samples, fromS, nextS);
  return any.at(-1) ?? Number.NaN;
}

function valuesIn(samples: readonly Sample[], fromS: number, toS: number): number[] {
  return samples.filter(({ timeS }) => timeS >= fromS && timeS <= toS).map(({ value }) => value);
}

/** Standard deviation of the readings, from the differences of neighbours; rises are the rare large ones. */
function noiseOf(samples: readonly Sample[]): number {
  const steps = samples.slice(1).map(({ value }, i) => Math.abs(value - samples[i]!.value));
  return steps.length === 0 ? 0 : (1.48 * median(steps)) / Math.SQRT2;
}

function doubtsOf(
  readings: readonly DialReading[],
  samples: readonly Sample[],
  riseTimes: readonly number[],
  fullScale: number,
): StaircaseDoubt[] {
  const doubts: StaircaseDoubt[] = [];
  const isGap = samples.some(({ timeS }, i) => i > 0 && timeS - samples[i - 1]!.timeS > MOST_GAP_S);
  const lastS = readings.at(-1)?.timeS ?? 0;
  const endsInGap = samples.length === 0 || lastS - samples.at(-1)!.timeS > MOST_GAP_S;
  if (isGap || endsInGap) doubts.push('gap');
  const periods = readings.slice(1).map(({ timeS }, i) => timeS - readings[i]!.timeS);
  if (periods.length > 0 && median(periods) > 1 / 24) doubts.push('slow-frames');
  if (riseTimes.some((timeS, i) => i > 0 && timeS - riseTimes[i - 1]! < SETTLES_S))
    doubts.push('fast-strokes');
  const first = samples.slice(0, 3).map(({ value }) => value);
  if (first.length > 0 && median(first) > 0.02 * fullScale) doubts.push('started-late');
  return doubts;
}
