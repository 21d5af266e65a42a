/** Cranking speed from the steps of a check-valve hose. */
import { describe, expect, it } from 'vitest';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { syntheticTrace } from '../support/synthetic-trace.ts';

/** Pressure held after each stroke, gauge kPa: a hose that fills fast, one that fills as usual, a slow one. */
const FAST = [1100, 1170, 1190, 1190, 1190, 1190, 1190];
const USUAL = [924, 1200, 1269, 1286, 1290, 1291, 1291];
const SLOW = [500, 800, 980, 1088, 1153, 1192, 1215];

interface Cranked {
  readonly rpm: number;
  readonly rateHz?: number;
  readonly phaseS?: number;
  readonly noiseKpa?: number;
}

const speedOf = (peaksKpa: readonly number[], spec: Cranked): number | null =>
  readTrace(syntheticTrace({ peaksKpa, checkValve: true, ...spec }), { cycle: 4, hose: 'check-valve' })
    .crankingRpm;

const off = (rpm: number | null, truth: number): number => Math.abs((rpm ?? Number.NaN) / truth - 1);

describe('speed on a check-valve hose', () => {
  it.each([
    ['three sharp steps', FAST],
    ['four sharp steps and faint ones', USUAL],
    ['seven sharp steps', SLOW],
  ])('%s give it within 2 %%', (_, levels) => {
    for (const rpm of [150, 200, 250, 300]) {
      for (const noiseKpa of [0.5, 2]) {
        expect(off(speedOf(levels, { rpm, noiseKpa }), rpm), `${rpm} rpm, ${noiseKpa} kPa`).toBeLessThan(
          0.02,
        );
      }
    }
  });

  it('two steps do not give it', () => {
    expect(speedOf([1150, 1190], { rpm: 200 })).toBeNull();
  });

  it('at 20 samples a second it is right or withheld', () => {
    const given: number[] = [];
    for (const levels of [FAST, USUAL, SLOW]) {
      for (let rpm = 140; rpm <= 300; rpm += 10) {
        for (let phaseS = 0; phaseS < 0.05; phaseS += 0.01) {
          const speed = speedOf(levels, { rpm, phaseS, rateHz: 20, noiseKpa: 1 });
          if (speed !== null) given.push(off(speed, rpm));
        }
      }
    }
    expect(given.length).toBeGreaterThan(20);
    expect(given.filter((share) => share < 0.02).length / given.length).toBeGreaterThanOrEqual(0.95);
    expect(Math.max(...given)).toBeLessThan(0.04);
  });

  it('a false step between two strokes changes it little', () => {
    const trace = syntheticTrace({ peaksKpa: USUAL, checkValve: true, rpm: 200 });
    const bumped = trace.pressureKpa.map((kpa, i) => kpa + (trace.timeS[i]! > 3.6 ? 4 : 0));
    const { crankingRpm } = readTrace({ ...trace, pressureKpa: bumped }, { cycle: 4, hose: 'check-valve' });
    expect(off(crankingRpm, 200)).toBeLessThan(0.02);
  });
});
