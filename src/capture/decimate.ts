import type { Gap } from '../../worker/core/trace.ts';
import type { Decimated } from './live-buffer.ts';

/** Samples by index, oldest first. Seconds and kPa. */
export interface SampleView {
  readonly length: number;
  timeAt(index: number): number;
  pressureAt(index: number): number;
}

/** Index of the first sample at or after `timeS`; `length` when there is none. */
export function firstAtOrAfter(samples: SampleView, timeS: number): number {
  let low = 0;
  let high = samples.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (samples.timeAt(middle) < timeS) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * First, lowest, highest and last sample of each of `columns` time slots between `fromS` and `toS`. Averaging would lower
 * the peaks, dropping samples would lose them. One sample before and after the range is included, so the line reaches
 * both edges.
 */
export function decimateSamples(
  samples: SampleView,
  gaps: readonly Gap[],
  fromS: number,
  toS: number,
  columns: number,
): Decimated {
  const timeS: number[] = [];
  const pressureKpa: (number | null)[] = [];
  const begin = Math.max(0, firstAtOrAfter(samples, fromS) - 1);
  const end = Math.min(samples.length, firstAtOrAfter(samples, toS) + 1);
  const slotS = Math.max(1e-9, toS - fromS) / Math.max(1, Math.floor(columns));
  const breaks = gaps.map((gap) => (gap.startS + gap.endS) / 2);
  let nextBreak = breaks.findIndex((at) => begin < end && at > samples.timeAt(begin));
  if (nextBreak < 0) nextBreak = breaks.length;
  const put = (index: number): void => {
    timeS.push(samples.timeAt(index));
    pressureKpa.push(samples.pressureAt(index));
  };

  let index = begin;
  while (index < end) {
    const slot = Math.floor((samples.timeAt(index) - fromS) / slotS);
    const breakAtS = breaks[nextBreak] ?? Number.POSITIVE_INFINITY;
    const first = index;
    let lowest = index;
    let highest = index;
    while (index < end && Math.floor((samples.timeAt(index) - fromS) / slotS) === slot) {
      if (samples.timeAt(index) > breakAtS) break;
      if (samples.pressureAt(index) < samples.pressureAt(lowest)) lowest = index;
      if (samples.pressureAt(index) > samples.pressureAt(highest)) highest = index;
      index++;
    }
    const kept = new Set([first, lowest, highest, index - 1].sort((a, b) => a - b));
    for (const one of kept) if (one >= first && one < index) put(one);
    if (index < end && samples.timeAt(index) > breakAtS) {
      timeS.push(breakAtS);
      pressureKpa.push(null);
      nextBreak++;
      while ((breaks[nextBreak] ?? Number.POSITIVE_INFINITY) < samples.timeAt(index)) nextBreak++;
    }
  }
  return { timeS, pressureKpa };
}
