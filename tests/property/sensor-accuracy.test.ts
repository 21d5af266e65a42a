import fc from 'fast-check';
import { expect, test } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { createRandom } from '../../simulator/random.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import {
  classErrorKpa,
  scaleFactor,
  sensorErrorKpa,
  usefulCheck,
} from '../../worker/core/sensor-accuracy.ts';
import { accuracyOf, checkedAccuracy, shownAt } from '../bench/family/sensor-class.ts';

/** A scale within 3 % of its range. */
const scale = fc.record({
  gain: fc.double({ min: 0.98, max: 1.02, noNaN: true }),
  curvature: fc.double({ min: -0.01, max: 0.01, noNaN: true }),
  maxKpa: fc.double({ min: 1000, max: 6000, noNaN: true }),
});
const share = fc.double({ min: 0.05, max: 1, noNaN: true });
const seed = fc.integer({ min: 0, max: 2 ** 31 - 1 });

test('the class of a scale holds its error everywhere', () => {
  fc.assert(
    fc.property(scale, share, (sensor, at) => {
      const kpa = at * sensor.maxKpa;
      const error = Math.abs(shownAt(sensor, kpa) - kpa);
      expect(error).toBeLessThanOrEqual(sensorErrorKpa(accuracyOf(sensor), kpa) + 1e-3);
    }),
  );
});

test('a check corrects to the reference, and never leaves more than the class at its pressure', () => {
  fc.assert(
    fc.property(scale, share, seed, (sensor, at, n) => {
      const accuracy = checkedAccuracy(sensor, (at * sensor.maxKpa) / 1.3, createRandom(n));
      const { shownKpa, referenceKpa } = accuracy.check!;
      const isUseful = usefulCheck(accuracy) !== null;
      expect(scaleFactor(accuracy) * shownKpa).toBeCloseTo(isUseful ? referenceKpa : shownKpa, 6);
      expect(sensorErrorKpa(accuracy, referenceKpa)).toBeLessThanOrEqual(classErrorKpa(accuracy));
    }),
  );
});

test('of 500 checked scales, the remaining error holds 95 % within 30 % of the check', () => {
  const random = createRandom(11);
  let held = 0;
  for (let i = 0; i < 500; i++) {
    const sensor = { gain: random.between(0.98, 1.02), curvature: random.between(-0.01, 0.01), maxKpa: 3000 };
    const trueKpa = random.between(600, 2000);
    const accuracy = checkedAccuracy(sensor, trueKpa, random);
    const kpa = scaleFactor(accuracy) * shownAt(sensor, trueKpa);
    if (Math.abs(kpa - trueKpa) <= sensorErrorKpa(accuracy, trueKpa)) held++;
  }
  expect(held).toBeGreaterThanOrEqual(475);
});

test('a sensor with a wrong gain reads the same as an exact one once it is checked', () => {
  const engine = makeEngine({ layout: presetLayout('inline', 1) });
  const { trace } = simulateTrace({ engine, cylinder: 1, seed: 4 });
  const exact = readTrace(trace, { cycle: 4 });
  fc.assert(
    fc.property(fc.double({ min: 0.97, max: 1.03, noNaN: true }), (gain) => {
      const check = {
        shownKpa: 1000 * gain,
        referenceKpa: 1000,
        referencePlusMinusKpa: 1,
        checkedOn: '2026-05-03',
      };
      const zeroKpa = exact.zeroKpa!;
      const scaled = {
        ...trace,
        pressureKpa: trace.pressureKpa.map((kpa) => zeroKpa + gain * (kpa - zeroKpa)),
      };
      const sensorAccuracy = { classPercent: 4, rangeKpa: 2000, check };
      const { finalKpa, strokesToStabilise } = readTrace(scaled, { cycle: 4, sensorAccuracy });
      expect(finalKpa! / exact.finalKpa!).toBeCloseTo(1, 4);
      expect(strokesToStabilise).toBe(exact.strokesToStabilise);
    }),
    { numRuns: 20 },
  );
});
