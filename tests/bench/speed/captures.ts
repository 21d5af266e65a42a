/** Traces for timing the reading. */
import { makeEngine } from '../../../simulator/engine.ts';
import { OPEN_RIG } from '../../../simulator/rig.ts';
import { simulateTrace } from '../../../simulator/simulate.ts';
import type { SampleBlock, Trace } from '../../../worker/core/trace.ts';

export const engine = makeEngine({ layout: { kind: 'inline', rows: [[1, 2, 3, 4]] } });

/** A sound engine on an open hose, cranked for `crankS` seconds. */
export function crankedTrace(crankS: number, rateHz: number): Trace {
  return simulateTrace({ engine, cylinder: 1, rig: OPEN_RIG, crankS, sensor: { rateHz } }).trace;
}

/** Rest, then the same few seconds of cranking repeated up to the requested length. */
export function endlessCranking(rateHz: number): (from: number, to: number) => SampleBlock {
  const { pressureKpa } = crankedTrace(14, rateHz);
  // Cut from one minimum between strokes to another, far from both ends.
  const low = (fromS: number) => lowest(pressureKpa, Math.round(fromS * rateHz), Math.round(0.48 * rateHz));
  const from = low(2);
  const to = low(12);
  const at = (i: number) => pressureKpa[i < to ? i : from + ((i - from) % (to - from))]!;
  return (a, b) => ({
    timeS: Float64Array.from({ length: b - a }, (_, k) => (a + k) / rateHz),
    pressureKpa: Float64Array.from({ length: b - a }, (_, k) => at(a + k)),
  });
  function lowest(values: Float64Array, start: number, count: number): number {
    let best = start;
    for (let i = start; i < start + count; i++) if (values[i]! < values[best]!) best = i;
    return best;
  }
}
