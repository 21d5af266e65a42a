/** The plus-minus of final contains the scatter between strokes, and coasting strokes do not lower it. */
import { describe, expect, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { layoutFromName } from '../../worker/core/layouts.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { syntheticTrace } from '../support/synthetic-trace.ts';

const read = (peaksKpa: readonly number[]) =>
  readTrace(syntheticTrace({ peaksKpa }), { cycle: 4, hose: 'open' });

describe('the plus-minus of final', () => {
  it('grows with the scatter between strokes', () => {
    const even = read([1000, 1000, 1000, 1000, 1000, 1000]);
    const uneven = read([1018, 982, 1018, 982, 1018, 982]);
    expect(uneven.finalPlusMinusKpa!).toBeGreaterThan(even.finalPlusMinusKpa! + 5);
  });

  it('contains the last three where strokes never settle', () => {
    const reading = read([1000, 960, 920, 880, 840]);
    expect(reading.strokesToStabilise).toBeNull();
    expect(reading.finalKpa!).toBeCloseTo(880, -1);
    expect(reading.finalPlusMinusKpa!).toBeGreaterThan(40);
  });
});

describe('a free engine that coasts through more compressions', () => {
  const engine = makeEngine({
    layout: layoutFromName('inline-4')!,
    drive: { frictionShare: 0.2, inertiaShare: 3 },
  });
  it.each([40, 100, 200, 300])(
    'released %d degrees after the last stroke, reads the driven strokes',
    (releaseDeg) => {
      const { trace, truth } = simulateTrace({
        engine,
        cylinder: 1,
        rig: OPEN_RIG,
        strokes: 7,
        releaseDeg,
        seed: 3,
      });
      const driven = truth.peaksKpa.slice(3, 7);
      const finalKpa = driven.reduce((sum, kpa) => sum + kpa, 0) / driven.length;
      const reading = readTrace(trace, { cycle: 4, hose: 'open' });
      expect(Math.abs(reading.finalKpa! - finalKpa)).toBeLessThanOrEqual(reading.finalPlusMinusKpa!);
      expect(Math.abs(truth.finalKpa! / finalKpa - 1)).toBeLessThan(0.01);
    },
  );
});

describe('a zero that moves by a kilopascal a second', () => {
  it.each([
    ['open', false],
    ['check-valve', true],
  ] as const)('widens the plus-minus of final on an %s hose', (hose, checkValve) => {
    const peaksKpa = [700, 760, 780, 790, 795, 800, 800, 800];
    const still = syntheticTrace({ peaksKpa, checkValve, tailS: 1.5 });
    const moving = { ...still, pressureKpa: still.pressureKpa.map((kpa, i) => kpa + still.timeS[i]!) };
    const options = { cycle: 4, hose } as const;
    const steady = readTrace(still, options);
    const reading = readTrace(moving, options);
    expect(reading.finalPlusMinusKpa!).toBeGreaterThan(steady.finalPlusMinusKpa! + 0.5);
    expect(Math.abs(reading.finalKpa! - steady.finalKpa!)).toBeLessThanOrEqual(reading.finalPlusMinusKpa!);
  });
});
