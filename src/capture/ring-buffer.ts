import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';
import type { FrameScheduler } from '../platform/ports.ts';
import { decimateSamples, firstAtOrAfter, type SampleView } from './decimate.ts';
import type { LiveBuffer } from './live-buffer.ts';
import type { Meters } from './port.ts';

/** Samples: over a minute at 2000 samples a second, two megabytes. */
const CAPACITY = 2 ** 17;
/** Slot width of the latency histogram. */
const SLOT_MS = 10;
const SLOTS = 51;
/** Maximum number of blocks waiting to be counted as drawn; the oldest are dropped. */
const MOST_WAITING = 4096;

/** `LiveBuffer` with its writing side. `arrivedMs`: host clock, milliseconds. */
export interface RingBuffer extends LiveBuffer {
  add(block: SampleBlock, arrivedMs: number): void;
  addGap(gap: Gap): void;
  clear(): void;
  meters(): Omit<Meters, 'takenCount' | 'storedCount'>;
}

export interface RingBufferOptions {
  readonly frames: FrameScheduler;
  /** The clock of `arrivedMs`. */
  readonly nowMs: () => number;
  /** @default CAPACITY */
  readonly capacity?: number;
}

/** An empty buffer. */
export function createRingBuffer(options: RingBufferOptions): RingBuffer {
  const { frames, nowMs, capacity = CAPACITY } = options;
  const times = new Float64Array(capacity);
  const pressures = new Float64Array(capacity);
  /** Index of the oldest sample. */
  let start = 0;
  let length = 0;
  let version = 0;
  let gaps: Gap[] = [];
  const drawers = new Set<() => void>();
  let cancelFrame: (() => void) | null = null;
  let waiting: { count: number; arrivedMs: number }[] = [];
  const histogram = new Array<number>(SLOTS).fill(0);
  let arrivedCount = 0;
  let drawnCount = 0;

  const view: SampleView = {
    get length() {
      return length;
    },
    timeAt: (index) => times[(start + index) % capacity] ?? Number.NaN,
    pressureAt: (index) => pressures[(start + index) % capacity] ?? Number.NaN,
  };

  const drawn = (): void => {
    const now = nowMs();
    for (const block of waiting) {
      const slot = Math.min(SLOTS - 1, Math.max(0, Math.floor((now - block.arrivedMs) / SLOT_MS)));
      histogram[slot] = (histogram[slot] ?? 0) + block.count;
      drawnCount += block.count;
    }
    waiting = [];
  };

  const schedule = (): void => {
    if (drawers.size === 0 || cancelFrame) return;
    cancelFrame = frames.next(() => {
      cancelFrame = null;
      for (const draw of drawers) draw();
      drawn();
    });
  };

  const changed = (): void => {
    version++;
    schedule();
  };

  const gapsBetween = (fromS: number, toS: number): Gap[] =>
    gaps.filter((gap) => gap.endS > fromS && gap.startS < toS);

  return {
    get version() {
      return version;
    },
    get length() {
      return length;
    },
    get firstS() {
      return length > 0 ? view.timeAt(0) : null;
    },
    get lastS() {
      return length > 0 ? view.timeAt(length - 1) : null;
    },
    get lastKpa() {
      return length > 0 ? view.pressureAt(length - 1) : null;
    },
    get gaps() {
      return gaps;
    },
    add(block, arrivedMs) {
      for (let i = 0; i < block.timeS.length; i++) {
        if (length === capacity) {
          start = (start + 1) % capacity;
          length--;
        }
        const at = (start + length) % capacity;
        times[at] = block.timeS[i] ?? Number.NaN;
        pressures[at] = block.pressureKpa[i] ?? Number.NaN;
        length++;
      }
      arrivedCount += block.timeS.length;
      // A hidden page draws nothing, so its samples would distort the latency.
      if (drawers.size > 0 && frames.visible()) {
        waiting.push({ count: block.timeS.length, arrivedMs });
        if (waiting.length > MOST_WAITING) waiting.shift();
      }
      changed();
    },
    addGap(gap) {
      gaps = [...gaps.filter((one) => one.endS > (length > 0 ? view.timeAt(0) : 0)), gap];
      changed();
    },
    clear() {
      start = 0;
      length = 0;
      gaps = [];
      changed();
    },
    slice(fromS, toS = Number.POSITIVE_INFINITY): Trace {
      const begin = firstAtOrAfter(view, fromS);
      const count = Math.max(0, lastUpTo(view, toS) - begin);
      const timeS = new Float64Array(count);
      const pressureKpa = new Float64Array(count);
      for (let i = 0; i < count; i++) {
        timeS[i] = view.timeAt(begin + i);
        pressureKpa[i] = view.pressureAt(begin + i);
      }
      return { timeS, pressureKpa, gaps: gapsBetween(fromS, toS) };
    },
    decimate: (fromS, toS, columns) => decimateSamples(view, gapsBetween(fromS, toS), fromS, toS, columns),
    onFrame(draw) {
      drawers.add(draw);
      schedule();
      return () => {
        drawers.delete(draw);
        if (drawers.size > 0) return;
        cancelFrame?.();
        cancelFrame = null;
        waiting = [];
      };
    },
    meters: () => ({ arrivedCount, drawnCount, latencyHistogram: [...histogram] }),
  };
}

/** Index after the last sample at or before `timeS`. */
function lastUpTo(view: SampleView, timeS: number): number {
  let index = firstAtOrAfter(view, timeS);
  if (index < view.length && view.timeAt(index) === timeS) index++;
  return index;
}
