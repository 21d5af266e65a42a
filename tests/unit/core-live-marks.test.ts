/** A stroke that has just ended is marked on the trace, whatever the push boundaries were. */
import { expect, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { rigFor } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { openLiveView } from '../../worker/core/measure/live-view.ts';
import { highest } from '../../worker/core/statistics.ts';

/** Lengths of successive pushes, seconds: a radio's packets come unevenly. */
const PUSHES_S = [0.02, 0.05, 0.08, 0.03];

it.each([
  ['check-valve', 1000],
  ['check-valve', 100],
  ['open', 1000],
  ['open', 100],
] as const)('never marks a stroke above the samples: %s hose, %d samples a second', (hose, rateHz) => {
  let marks = 0;
  for (const seed of [2, 3, 5, 11]) {
    const health = { 1: seed === 3 ? { ringMm2: 6 } : {} };
    const engine = makeEngine({ layout: presetLayout('inline', 4), health });
    const { trace } = simulateTrace({ engine, cylinder: 1, seed, rig: rigFor(hose), sensor: { rateHz } });
    const stream = openLiveView({ cycle: 4 });
    let from = 0;
    for (let k = 0; from < trace.timeS.length; k++) {
      const to = from + Math.round(rateHz * PUSHES_S[k % PUSHES_S.length]!);
      const live = stream.push({
        timeS: trace.timeS.slice(from, to),
        pressureKpa: trace.pressureKpa.slice(from, to),
      });
      const seenKpa = highest(trace.pressureKpa.subarray(0, to)) - (live.zeroKpa ?? 0);
      const peaks = live.strokes.flatMap(({ peakKpa }) => (peakKpa === null ? [] : [peakKpa]));
      marks += peaks.length;
      // At 100 samples a second the fitted top of an open hose is rightly a little above the samples.
      for (const peakKpa of peaks) expect(peakKpa).toBeLessThan(1.04 * seenKpa + 10);
      from = to;
    }
  }
  expect(marks).toBeGreaterThan(500);
});
