import { LIMITS } from '../limits.ts';
import type { FileProblem } from './trace-file.ts';

/** Rows of a file in ascending order of time. */
export interface TimeAxis {
  /** Row numbers, ordered by time. */
  readonly rows: Uint32Array;
  /** Seconds, strictly ascending, one for each entry of `rows`. */
  readonly timeS: Float64Array;
  /** One English sentence for each correction. */
  readonly remarks: readonly string[];
}

/** Largest backward jitter, in usual steps and in seconds, whichever is larger. Beyond it, the clock was restarted. */
const JITTER_STEPS = 5;
const JITTER_S = 0.05;
/** Stamps beyond this count from an epoch and are shifted to start at 0. */
const EPOCH_S = 1e6;

const median = (values: Float64Array): number => values.sort()[values.length >> 1] ?? 0;

/** Absolute non-zero differences between consecutive times, over at most the first 100 000 rows. */
function stepSizes(times: Float64Array): Float64Array {
  const steps = new Float64Array(Math.max(0, Math.min(times.length, 100_000) - 1));
  for (let i = 0; i < steps.length; i++) steps[i] = Math.abs(times[i + 1]! - times[i]!);
  return steps.filter((step) => step > 0);
}

/**
 * Infers the unit of time stamps from their median step, as seconds per unit. A usable logger takes a few to a few
 * thousand samples a second, so steps of 0.3 or more are not seconds, and steps of 300 or more are not milliseconds.
 */
export function guessSecondsPer(stamps: Float64Array): number {
  const step = median(stepSizes(stamps));
  return step >= 300 ? 1e-6 : step >= 0.3 ? 1e-3 : 1;
}

/**
 * Orders the rows that have a time stamp (`stampS` in seconds; `NaN`: none). Stamps swapped by jitter are sorted. Runs of
 * equal stamps, from a clock coarser than the sampling, are spread over the time to the next one. A file in descending
 * order is reversed. A clock that jumps back is refused, because the true times are unknown.
 */
export function orderByTime(
  stampS: Float64Array,
  lineOf: (row: number) => number,
): { readonly axis: TimeAxis } | { readonly problem: FileProblem } {
  const remarks: string[] = [];
  let rows = new Uint32Array(stampS.length);
  let known = 0;
  for (let row = 0; row < stampS.length; row++) if (!Number.isNaN(stampS[row]!)) rows[known++] = row;
  rows = rows.slice(0, known);
  let times = Float64Array.from(rows, (row) => stampS[row]!);
  let falling = 0;
  for (let i = 1; i < times.length; i++) if (times[i]! < times[i - 1]!) falling++;
  if (times.length > 2 && falling > 0.9 * (times.length - 1)) {
    rows.reverse();
    times.reverse();
    falling = 0;
    for (let i = 1; i < times.length; i++) if (times[i]! < times[i - 1]!) falling++;
    remarks.push('The rows run backwards in time; they were turned round.');
  }

  if (falling > 0) {
    const allowedS = Math.max(JITTER_STEPS * median(stepSizes(times)), JITTER_S);
    let latest = times[0]!;
    for (let i = 1; i < times.length; i++) {
      if (latest - times[i]! > allowedS) {
        return {
          problem: {
            code: 'time-not-ascending',
            line: lineOf(rows[i]!),
            detail: `The time falls from ${round(latest)} s to ${round(times[i]!)} s; a trace must run forwards, so split recordings into files of their own.`,
          },
        };
      }
      latest = Math.max(latest, times[i]!);
    }
    rows.sort((a, b) => stampS[a]! - stampS[b]! || a - b);
    times = Float64Array.from(rows, (row) => stampS[row]!);
    remarks.push(`${falling} time stamps were out of order by a little; the samples were sorted.`);
  }

  const spread = spreadEqualStamps(times);
  const stuck = times.findIndex((time, i) => i > 0 && time <= times[i - 1]!);
  if (stuck > 0) {
    return {
      problem: {
        code: 'time-not-ascending',
        line: lineOf(rows[stuck]!),
        detail: `The time does not advance at ${round(times[stuck]!)} s; every sample needs a later time than the one before.`,
      },
    };
  }
  if (spread > 0)
    remarks.push(`${spread} time stamps repeat the one before; their samples were spread evenly.`);
  const first = times[0] ?? 0;
  const problem = implausibleTimes(times, (i) => lineOf(rows[i]!));
  if (problem) return { problem };
  if (Math.abs(first) > EPOCH_S) for (let i = 0; i < times.length; i++) times[i]! -= first;
  return { axis: { rows, timeS: times, remarks } };
}

/** Problem of a rate or length beyond `LIMITS`; `undefined` when plausible. `times` must ascend strictly. */
function implausibleTimes(times: Float64Array, lineOf: (i: number) => number): FileProblem | undefined {
  if (times.length < 2) return undefined;
  const { low, high } = LIMITS.rateHz;
  const rateHz = 1 / median(stepSizes(times));
  if (!(rateHz > 0.999 * low && rateHz < 1.001 * high)) {
    return {
      code: 'bad-number',
      line: lineOf(1),
      detail: `The times are ${round(1 / rateHz)} s apart; a recording has ${low} to ${high} samples a second, so check the unit of the time column.`,
    };
  }
  const late = times.findIndex((time) => time - times[0]! > LIMITS.lengthS);
  if (late < 0) return undefined;
  return {
    code: 'bad-number',
    line: lineOf(late),
    detail: `The time ${round(times[late]!)} s is more than ${LIMITS.lengthS} s after the first; correct or remove that line.`,
  };
}

/**
 * Spreads each run of equal stamps over the time to the next stamp, at most over one usual step, so that gaps remain.
 * Works in place and returns the number of stamps moved.
 */
function spreadEqualStamps(times: Float64Array): number {
  const usualStep = median(stepSizes(times));
  let moved = 0;
  for (let start = 0; start < times.length; ) {
    const stamp = times[start]!;
    let end = start + 1;
    while (end < times.length && times[end] === stamp) end++;
    const count = end - start;
    const step = end < times.length ? Math.min(times[end]! - stamp, usualStep) : usualStep;
    for (let i = 1; i < count; i++) times[start + i] = stamp + (step * i) / count;
    moved += count - 1;
    start = end;
  }
  return moved;
}

const round = (seconds: number): number => Number(seconds.toPrecision(7));
