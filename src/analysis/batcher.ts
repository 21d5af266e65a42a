import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';

/** Gaps, then the samples that came after them. */
export interface Batch {
  readonly gaps: readonly Gap[];
  readonly block: SampleBlock;
}

export interface Batcher {
  add(block: SampleBlock): void;
  addGap(gap: Gap): void;
  /** A whole trace: its samples with its gaps between them. */
  addTrace(trace: Trace): void;
  /** Enough has gathered to be worth a message. */
  ripe(): boolean;
  /** The oldest that waits, in the order it came; `undefined` when nothing does. */
  take(): Batch | undefined;
  clear(): void;
}

/** Twenty answers a second are more than an eye follows. */
const RIPE_S = 0.05;
/** A recording that comes in at once still shows its strokes landing one by one. */
const LONGEST_S = 0.5;

/** Gathers samples into messages, keeping gaps in their place. Hands out arrays of its own. */
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
