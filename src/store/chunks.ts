import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';

/** One append of a take's journal, as stored. Seconds and kPa as reported. */
export interface Chunk {
  readonly takeId: string;
  readonly index: number;
  readonly timeS: Float64Array;
  readonly pressureKpa: Float64Array;
  readonly gaps: readonly Gap[];
}

/** Copies the samples, because storing a view would store its whole underlying buffer. */
export function chunkOf(takeId: string, index: number, block: SampleBlock, gaps: readonly Gap[]): Chunk {
  return {
    takeId,
    index,
    timeS: block.timeS.slice(),
    pressureKpa: block.pressureKpa.slice(),
    gaps: gaps.map((gap) => ({ ...gap })),
  };
}

/** A whole trace as one chunk, for takes that were not captured here. */
export const chunkOfTrace = (takeId: string, trace: Trace): Chunk => chunkOf(takeId, 0, trace, trace.gaps);

/** Joins chunks, ascending by index. A missing chunk becomes a gap. */
export function traceOf(chunks: readonly Chunk[]): Trace {
  const count = chunks.reduce((sum, chunk) => sum + chunk.timeS.length, 0);
  const timeS = new Float64Array(count);
  const pressureKpa = new Float64Array(count);
  const gaps: Gap[] = [];
  let at = 0;
  let expected = 0;
  for (const chunk of chunks) {
    const startS = timeS[at - 1];
    const endS = chunk.timeS[0];
    if (chunk.index > expected && startS !== undefined && endS !== undefined) {
      gaps.push({ startS, endS, reason: 'packets-lost' });
    }
    expected = chunk.index + 1;
    timeS.set(chunk.timeS, at);
    pressureKpa.set(chunk.pressureKpa, at);
    at += chunk.timeS.length;
    gaps.push(...chunk.gaps);
  }
  gaps.sort((a, b) => a.startS - b.startS);
  return { timeS, pressureKpa, gaps };
}

/** Whether two chunks have the same samples. Gaps are compared by number only. */
export function sameChunk(a: Chunk, b: Chunk): boolean {
  return (
    a.timeS.length === b.timeS.length &&
    a.timeS.every((time, i) => time === b.timeS[i]) &&
    a.pressureKpa.every((kpa, i) => Object.is(kpa, b.pressureKpa[i])) &&
    a.gaps.length === b.gaps.length
  );
}
