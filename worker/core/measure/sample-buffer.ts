import type { SampleBlock } from '../trace.ts';

/** Growable arrays of times and pressures. The views are valid until the next `add`, `push` or `drop`. */
export interface SampleBuffer extends SampleBlock {
  readonly length: number;
  /** Appends a block. */
  add(block: SampleBlock): void;
  /** Appends one sample. */
  push(timeS: number, pressureKpa: number): void;
  /** Removes the first `count` samples. */
  drop(count: number): void;
}

/** Creates an empty buffer. */
export function openSampleBuffer(): SampleBuffer {
  let times = new Float64Array(4096);
  let pressures = new Float64Array(4096);
  let length = 0;

  function makeRoom(count: number): void {
    const needed = length + count;
    if (needed <= times.length) return;
    const size = Math.max(needed, 2 * times.length);
    times = grown(times, size);
    pressures = grown(pressures, size);
  }

  return {
    get timeS() {
      return times.subarray(0, length);
    },
    get pressureKpa() {
      return pressures.subarray(0, length);
    },
    get length() {
      return length;
    },
    add(block) {
      makeRoom(block.timeS.length);
      times.set(block.timeS, length);
      pressures.set(block.pressureKpa, length);
      length += block.timeS.length;
    },
    push(timeS, pressureKpa) {
      makeRoom(1);
      times[length] = timeS;
      pressures[length++] = pressureKpa;
    },
    drop(count) {
      times.copyWithin(0, count, length);
      pressures.copyWithin(0, count, length);
      length -= count;
    },
  };
}

function grown(array: Float64Array<ArrayBuffer>, size: number): Float64Array<ArrayBuffer> {
  const next = new Float64Array(size);
  next.set(array);
  return next;
}
