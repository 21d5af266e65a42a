import { median } from '../statistics.ts';
import type { SampleBlock } from '../trace.ts';
import { SampleBuffer } from './sample-buffer.ts';

/** More samples than this are not kept: a quarter of an hour at 2000 a second, an hour and twenty minutes at 400. */
const MOST = 2_000_000;
/** A silence this many sample periods long is a gap: samples on its two sides are not put together. */
const GAP_PERIODS = 2.6;

/**
 * The samples of a capture, however long it goes on, in bounded memory. Up to `most` they are kept as they came. Beyond,
 * neighbours are put together two by two, then four by four, and so on, and the ones to come alike: made for somebody who forgets
 * to stop, whose trace then looks like one of a slower sensor.
 */
export class ThinnedSamples {
  private readonly kept = new SampleBuffer();
  private readonly most: number;
  private each = 1;
  private stepS = 0;
  /** Samples that wait to be put together: their sums, their number, the time of the last. */
  private sumS = 0;
  private sumKpa = 0;
  private count = 0;
  private lastS = 0;

  constructor(most: number = MOST) {
    this.most = most;
  }

  add(block: SampleBlock): void {
    if (this.each === 1) this.kept.add(block);
    else this.putTogether(block, this.each, this.stepS);
    while (this.kept.length > this.most) this.halve();
  }

  /** All that is kept, with those that wait; no more may come. */
  close(): SampleBlock {
    this.flush();
    return this.kept;
  }

  private halve(): void {
    this.flush();
    const timeS = this.kept.timeS.slice();
    const pressureKpa = this.kept.pressureKpa.slice();
    if (this.each === 1) this.stepS = median(timeS.slice(1, 2000).map((t, i) => t - timeS[i]!));
    this.kept.drop(this.kept.length);
    this.putTogether({ timeS, pressureKpa }, 2, this.stepS * this.each);
    this.flush();
    this.each *= 2;
  }

  private putTogether({ timeS, pressureKpa }: SampleBlock, each: number, stepS: number): void {
    for (let i = 0; i < timeS.length; i++) {
      const t = timeS[i]!;
      if (this.count > 0 && t - this.lastS > GAP_PERIODS * stepS) this.flush();
      this.sumS += t;
      this.sumKpa += pressureKpa[i]!;
      this.lastS = t;
      if (++this.count === each) this.flush();
    }
  }

  private flush(): void {
    if (this.count > 0) this.kept.push(this.sumS / this.count, this.sumKpa / this.count);
    this.sumS = 0;
    this.sumKpa = 0;
    this.count = 0;
  }
}
