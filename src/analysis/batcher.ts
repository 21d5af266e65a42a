import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';

/** Gaps, then the samples that follow them. */
export interface Batch {
  readonly gaps: readonly Gap[];
  readonly block: SampleBlock;
}

/** Queue of samples and gaps. */
export interface Batcher {
  add(block: SampleBlock): void;
  addGap(gap: Gap): void;
  /** Adds a whole trace, with its gaps in place. */
  addTrace(trace: Trace): void;
  /** Whether enough samples are queued for a message. */
  ripe(): boolean;
  /** Removes and returns the oldest batch; `undefined` when the queue is empty. */
  take(): Batch | undefined;
  clear(): void;
}

/** At most twenty messages a second: faster updates are not visible. */
const RIPE_S = 0.05;
/** Longest batch. A recording that arrives at once still shows its strokes one by one. */
const LONGEST_S = 0.5;

/** Batches samples into messages and keeps gaps in place. The arrays it returns are copies. */
export function createBatcher(): Batcher {
  let queue: { gaps: Gap[]; times: number[]; pressures: number[] }[] = [];

  const addRange = (block: SampleBlock, from: number, to: number): void => {
    for (let i = from; i < to; i++) {
      const timeS = block.timeS[i];
      const pressureKpa = block.pressureKpa[i];
      if (timeS === undefined || pressureKpa === undefined) return;
      let last = queue.at(-1);
      if (!last || timeS - (last.times[0] ?? timeS) > LONGEST_S) {
        last = { gaps: [], times: [], pressures: [] };
        queue.push(last);
      }
      last.times.push(timeS);
      last.pressures.push(pressureKpa);
    }
  };
  const addGap = (gap: Gap): void => {
    const last = queue.at(-1);
    if (last && last.times.length === 0) last.gaps.push(gap);
    else queue.push({ gaps: [gap], times: [], pressures: [] });
  };

  return {
    add: (block) => addRange(block, 0, block.timeS.length),
    addGap,
    addTrace(trace) {
      let from = 0;
      for (const gap of trace.gaps) {
        const found = trace.timeS.findIndex((timeS, i) => i >= from && timeS >= gap.endS);
        const to = found < 0 ? trace.timeS.length : found;
        addRange(trace, from, to);
        addGap(gap);
        from = to;
      }
      addRange(trace, from, trace.timeS.length);
    },
    ripe() {
      const first = queue[0];
      if (!first) return false;
      const newestS = queue.at(-1)?.times.at(-1);
      const oldestS = first.times[0];
      return (
        queue.length > 1 || (newestS !== undefined && oldestS !== undefined && newestS - oldestS >= RIPE_S)
      );
    },
    take() {
      const first = queue.shift();
      if (!first) return undefined;
      return {
        gaps: first.gaps,
        block: { timeS: Float64Array.from(first.times), pressureKpa: Float64Array.from(first.pressures) },
      };
    },
    clear() {
      queue = [];
    },
  };
}
