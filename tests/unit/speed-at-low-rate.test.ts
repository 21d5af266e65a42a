/** Speed of an open hose at few samples a second: right or withheld. */
import { expect, it } from 'vitest';
import { drawFamilyEngine } from '../../simulator/family/draw.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';

const RATE_HZ = 20;

it.each(['two-stroke', 'default'] as const)('of %s engines at 20 samples a second', (model) => {
  const offs = Array.from({ length: 12 }, (_, i) => {
    const { engine, rig, sensor } = drawFamilyEngine(model, 4000 + i, 'open');
    const { trace, truth } = simulateTrace({
      engine,
      cylinder: 1,
      rig,
      sensor: { ...sensor, rateHz: RATE_HZ },
      strokes: 8,
      seed: i,
    });
    const { crankingRpm } = readTrace(trace, { cycle: engine.cycle, fuel: 'spark' });
    return crankingRpm === null ? 0 : Math.abs(crankingRpm / truth.rpm! - 1);
  });
  expect(Math.max(...offs)).toBeLessThan(0.03);
});
