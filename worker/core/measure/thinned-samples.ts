import { median } from '../statistics.ts';
import type { SampleBlock } from '../trace.ts';
import { openSampleBuffer } from './sample-buffer.ts';

/** More samples than this are not kept: a quarter of an hour at 2000 a second, an hour and twenty minutes at 400. */
const MOST = 2_000_000;
/** A silence this many sample periods long is a gap: samples on its two sides are not put together. */
const GAP_PERIODS = 2.6;

export interface ThinnedSamples {
  add(block: SampleBlock): void;
  /** All that is kept, with those that wait; no more may come. */
  close(): SampleBlock;
}

/**
 * The samples of a capture, however long it goes on, in bounded memory. Up to `most` they are kept as they came. Beyond,
 * neighbours are put together two by two, then four by four, and so on, and the ones to come alike: made for somebody who forgets
 * to stop, whose trace then looks like one of a slower sensor.
 */
export function openThinnedSamples(most: number = MOST): ThinnedSamples {
  const kept = openSampleBuffer();
  let each = 1;
  let stepS = 0;
  // samples that wait to be put together: their sums, their number, the time of the last
  let [sumS, sumKpa, count, lastS] = [0, 0, 0, 0];

  function halve(): void {
    flush();
    const timeS = kept.timeS.slice();
    const pressureKpa = kept.pressureKpa.slice();
    if (each === 1) stepS = median(timeS.slice(1, 2000).map((t, i) => t - timeS[i]!));
    kept.drop(kept.length);
    putTogether({ timeS, pressureKpa }, 2, stepS * each);
    flush();
    each *= 2;
  }

  function putTogether({ timeS, pressureKpa }: SampleBlock, size: number, usualS: number): void {
    for (let i = 0; i < timeS.length; i++) {
      const t = timeS[i]!;
      if (count > 0 && t - lastS > GAP_PERIODS * usualS) flush();
      sumS += t;
      sumKpa += pressureKpa[i]!;
      lastS = t;
      if (++count === size) flush();
    }
  }

  function flush(): void {
    if (count > 0) kept.push(sumS / count, sumKpa / count);
    [sumS, sumKpa, count] = [0, 0, 0];
  }

  return {
    add(block) {
      if (each === 1) kept.add(block);
      else putTogether(block, each, stepS);
      while (kept.length > most) halve();
    },
    close() {
      flush();
      return kept;
    },
  };
}
