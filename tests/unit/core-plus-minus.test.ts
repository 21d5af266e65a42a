/** The 95 % intervals of single strokes, against what the simulated engine did. */
import { describe, expect, test } from 'vitest';
import { specimen } from '../../simulator/population.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import type { Hose } from '../../worker/core/trace.ts';

const CAPTURES = 30;

/** For every stroke that was seen for what it was: whether its interval holds the truth. */
function covered(hose: Hose): boolean[] {
  return Array.from({ length: CAPTURES }, (_, i) => specimen(i, { seed: 4100, hose })).flatMap(
    ({ spec, engine }) => {
      const { trace, truth } = simulateTrace(spec);
      const { strokes } = readTrace(trace, { cycle: engine.cycle, ambientKpa: spec.ambientKpa, hose });
      const wanted = truth.levelsKpa ?? truth.peaksKpa;
      // A check valve shows only the first of the strokes.
      if (hose === 'open' && strokes.length !== wanted.length) return [];
      return strokes.flatMap(({ peakKpa, peakPlusMinusKpa }, k) =>
        peakKpa === null ? [] : [Math.abs(peakKpa - wanted[k]!) <= peakPlusMinusKpa!],
      );
    },
  );
}

describe.each(['open', 'check-valve'] as const)('the plus-minus of a stroke, %s hose', (hose) => {
  test('holds the truth for 95 strokes of 100', () => {
    const all = covered(hose);
    expect(all.length).toBeGreaterThan(100);
    expect(all.filter(Boolean).length / all.length).toBeGreaterThanOrEqual(0.95);
  });
});

describe('the plus-minus of final', () => {
  test('is no narrower than that of the stroke which it was taken from', () => {
    for (let i = 0; i < 10; i++) {
      const { spec, engine } = specimen(i, { seed: 4200, hose: 'check-valve' });
      const { trace } = simulateTrace(spec);
      const reading = readTrace(trace, { cycle: engine.cycle, hose: 'check-valve' });
      const held = reading.strokes.find((s) => s.peakKpa === reading.finalKpa);
      expect(held?.peakPlusMinusKpa).toBeCloseTo(reading.finalPlusMinusKpa!, 9);
    }
  });
});
