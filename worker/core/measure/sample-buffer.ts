import type { SampleBlock } from '../trace.ts';

/** Two arrays that double as they fill. */
export class SampleBuffer implements SampleBlock {
  private times = new Float64Array(4096);
  private pressures = new Float64Array(4096);
  length = 0;

  /** What is there so far; valid until the next `add`. */
  get timeS(): Float64Array {
    return this.times.subarray(0, this.length);
  }

  get pressureKpa(): Float64Array {
    return this.pressures.subarray(0, this.length);
  }

  add(block: SampleBlock): void {
    this.makeRoom(block.timeS.length);
    this.times.set(block.timeS, this.length);
    this.pressures.set(block.pressureKpa, this.length);
    this.length += block.timeS.length;
  }

  push(timeS: number, pressureKpa: number): void {
    this.makeRoom(1);
    this.times[this.length] = timeS;
    this.pressures[this.length++] = pressureKpa;
  }

  private makeRoom(count: number): void {
    const needed = this.length + count;
    if (needed <= this.times.length) return;
    const size = Math.max(needed, 2 * this.times.length);
    this.times = grown(this.times, size);
    this.pressures = grown(this.pressures, size);
  }

  /** Forgets the first `count` samples. */
  drop(count: number): void {
    this.times.copyWithin(0, count, this.length);
    this.pressures.copyWithin(0, count, this.length);
    this.length -= count;
  }
}

function grown(array: Float64Array<ArrayBuffer>, size: number): Float64Array<ArrayBuffer> {
  const next = new Float64Array(size);
  next.set(array);
  return next;
}
