import { describe, expect, test } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { createRandom } from '../../simulator/random.ts';
import { rigFor } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import type { NoticeCode } from '../../worker/core/notice.ts';
import type { Reading, ReadingOptions } from '../../worker/core/reading.ts';
import type { Trace } from '../../worker/core/trace.ts';
import {
  mapPressure,
  SYNTHETIC_AMBIENT_KPA,
  syntheticTrace,
  withoutSamples,
} from '../support/synthetic-trace.ts';

const OPTIONS: ReadingOptions = { cycle: 4, ambientKpa: SYNTHETIC_AMBIENT_KPA };
const STEADY = [1100, 1100, 1100, 1100, 1100, 1100, 1100];
/** A check-valve hose that fills by a constant share: 1200 (1 - 0.35^k). */
const FILLING = [780, 1053, 1148.6, 1182, 1193.7, 1197.8, 1199.2];

const codes = (reading: Reading): NoticeCode[] => reading.notices.map((n) => n.code);
const serious = (reading: Reading): NoticeCode[] =>
  reading.notices.filter((n) => n.severity !== 'note').map((n) => n.code);
const peaks = (reading: Reading) => reading.strokes.map((s) => s.peakKpa ?? Number.NaN);

function expectNear(actual: number | null, wanted: number, share: number): void {
  expect(actual).not.toBeNull();
  expect(Math.abs(actual! / wanted - 1)).toBeLessThan(share);
}

describe('open hose', () => {
  test.each([200, 400, 1000, 2000])('fits every top at %i samples a second', (rateHz) => {
    const heights = [900, 1000, 1050, 1060, 1062, 1061, 1060];
    const reading = readTrace(syntheticTrace({ peaksKpa: heights, rateHz }), OPTIONS);
    expect(reading.hose).toBe('open');
    expect(reading.strokes.map((s) => s.number)).toEqual([1, 2, 3, 4, 5, 6, 7]);
    for (const [i, peak] of peaks(reading).entries()) expectNear(peak, heights[i]!, 0.004);
    expectNear(reading.crankingRpm, 250, 0.001);
    expect(serious(reading)).toEqual([]);
  });

  test.each([
    ['a weak cylinder', 60, 0.3],
    ['a diesel', 5000, 2.5],
  ])('reads %s', (_, kpa, noiseKpa) => {
    const reading = readTrace(syntheticTrace({ peaksKpa: STEADY.map(() => kpa), noiseKpa }), OPTIONS);
    expect(reading.strokes).toHaveLength(7);
    expectNear(reading.finalKpa, kpa, 0.01);
  });

  test('finds the top between samples that all miss it', () => {
    const trace = syntheticTrace({ peaksKpa: STEADY, rateHz: 100, phaseS: 0.005, noiseKpa: 0.2 });
    const highest = Math.max(...trace.pressureKpa);
    const reading = readTrace(trace, OPTIONS);
    expect(highest).toBeLessThan(1100 * 0.985);
    expectNear(reading.finalKpa, 1100, 0.006);
  });

  test('takes final from the settled strokes only', () => {
    const heights = [600, 800, 920, 990, 1000, 1004, 1000];
    const reading = readTrace(syntheticTrace({ peaksKpa: heights }), OPTIONS);
    expect(reading.strokesToStabilise).toBe(4);
    expectNear(reading.finalKpa, (990 + 1000 + 1004 + 1000) / 4, 0.003);
    expectNear(reading.firstStrokeRatio, 600 / 998.5, 0.004);
  });

  test('marks a first stroke that started part-way up and leaves it out of the ratio', () => {
    const reading = readTrace(syntheticTrace({ peaksKpa: [350, 1090, 1095, 1100, 1100, 1100] }), OPTIONS);
    expect(reading.strokes.map((s) => s.partial)).toEqual([true, false, false, false, false, false]);
    expectNear(reading.firstStrokeRatio, 1090 / 1098, 0.005);
  });

  test('does not take the low first stroke of worn rings for a partial one', () => {
    const heights = [0, 1, 2, 3, 4, 5, 6, 7, 8].map((k) => 800 - 480 * Math.exp(-k / 3));
    const reading = readTrace(syntheticTrace({ peaksKpa: heights }), OPTIONS);
    expect(reading.strokes[0]!.partial).toBe(false);
    expect(reading.buildUp).toBe('slow');
    expect(reading.buildUpFit!.timeConstantStrokes).toBeGreaterThan(2.7);
    expect(reading.buildUpFit!.timeConstantStrokes).toBeLessThan(3.3);
  });

  test('leaves out a last rise that leaks away part-way up', () => {
    const trace = syntheticTrace({ peaksKpa: STEADY, tailS: 2 });
    const lastTopS = 1 + 6 * 0.48;
    const stalled = mapPressure(trace, (kpa, t) => {
      const since = t - (lastTopS + 0.48);
      return since < -0.09 ? kpa : kpa + 600 * (since < 0 ? (since + 0.09) / 0.09 : Math.exp(-since / 0.4));
    });
    expect(readTrace(stalled, OPTIONS).strokes).toHaveLength(7);
  });

  test('follows cranking that slows', () => {
    const trace = syntheticTrace({ peaksKpa: Array.from({ length: 9 }, () => 1000) });
    // Stretches time so that the last period is 40 % longer than the first.
    const timeS = trace.timeS.map((t) => t + 0.05 * Math.max(0, t - 1) ** 2);
    const reading = readTrace({ ...trace, timeS }, OPTIONS);
    expect(reading.crankingSag).toBeGreaterThan(0.22);
    expect(codes(reading)).toContain('cranking-sagged');
  });
});

describe('check-valve hose', () => {
  test('reads each held level, final and settling', () => {
    const reading = readTrace(syntheticTrace({ peaksKpa: FILLING, checkValve: true }), OPTIONS);
    expect(reading.hose).toBe('check-valve');
    for (const [i, level] of peaks(reading).slice(0, 5).entries()) expectNear(level, FILLING[i]!, 0.002);
    expectNear(reading.finalKpa, 1199.2, 0.001);
    expect(reading.strokesToStabilise).toBe(4);
    expect(reading.buildUp).toBe('normal');
    expect(serious(reading)).toEqual([]);
    expectNear(reading.crankingRpm, 250, 0.01);
  });

  test('reports a leaking rig when the level sinks after cranking', () => {
    const trace = syntheticTrace({ peaksKpa: FILLING, checkValve: true, lossPerS: 0.08, tailS: 2 });
    const reading = readTrace(trace, OPTIONS);
    expect(codes(reading)).toContain('rig-leaks');
    expectNear(reading.holdLossPerS, 0.08, 0.15);
  });

  test('reports too few strokes when the last step was large', () => {
    const reading = readTrace(syntheticTrace({ peaksKpa: [600, 900], checkValve: true }), OPTIONS);
    expect(reading.notices.find((n) => n.code === 'too-few-strokes')?.severity).toBe('stop');
  });
});

describe('rig and sensor', () => {
  test('recognises an absolute sensor by its pressure at rest', () => {
    const reading = readTrace(syntheticTrace({ peaksKpa: STEADY, offsetKpa: 99 }), OPTIONS);
    expect(reading.sensor).toBe('absolute');
    expectNear(reading.zeroKpa, 99, 0.005);
    expectNear(reading.finalKpa, 1100, 0.004);
    expect(serious(reading)).toEqual([]);
  });

  test('subtracts a small offset and reports a large one', () => {
    const small = readTrace(syntheticTrace({ peaksKpa: STEADY, offsetKpa: -6 }), OPTIONS);
    const large = readTrace(syntheticTrace({ peaksKpa: STEADY, offsetKpa: 25 }), OPTIONS);
    expect(small.zeroKpa).toBeCloseTo(-6, 0);
    expect(codes(small)).not.toContain('zero-shifted');
    expect(codes(large)).toContain('zero-shifted');
    expectNear(large.finalKpa, 1100, 0.004);
  });

  test('reports a zero that moves while cranking', () => {
    const trace = mapPressure(syntheticTrace({ peaksKpa: STEADY }), (kpa, t) => kpa + (t > 2.3 ? 20 : 0));
    expect(codes(readTrace(trace, OPTIONS))).toContain('zero-shifted');
  });

  test('removes wild samples and reports them', () => {
    const trace = syntheticTrace({ peaksKpa: STEADY });
    const spiked = { ...trace, pressureKpa: trace.pressureKpa.slice() };
    for (const at of [50, 300, 700]) spiked.pressureKpa[at]! += 900;
    const reading = readTrace(spiked, OPTIONS);
    expect(reading.notices.find((n) => n.code === 'spikes-removed')?.values.count).toBe(3);
    expectNear(reading.finalKpa, 1100, 0.004);
  });

  test('rejects a clipped sensor', () => {
    const trace = mapPressure(syntheticTrace({ peaksKpa: STEADY }), (kpa) => Math.min(kpa, 800));
    expect(readTrace(trace, OPTIONS).notices.find((n) => n.code === 'sensor-clipped')?.severity).toBe('stop');
  });

  test('reports the stroke that fired', () => {
    const reading = readTrace(syntheticTrace({ peaksKpa: [1000, 1010, 2600, 1015, 1010, 1012] }), OPTIONS);
    expect(reading.notices.find((n) => n.code === 'engine-fired')?.values.stroke).toBe(3);
  });

  test.each([20, 25, 33])('reports a sample rate of %i a second as too low', (rateHz) => {
    const reading = readTrace(syntheticTrace({ peaksKpa: STEADY, rateHz }), OPTIONS);
    expect(codes(reading)).toContain('sample-rate-low');
    expect(Math.abs(reading.finalKpa! - 1100)).toBeLessThan(reading.finalPlusMinusKpa!);
  });

  test('warns of slow cranking', () => {
    expect(codes(readTrace(syntheticTrace({ peaksKpa: STEADY, rpm: 85 }), OPTIONS))).toContain(
      'cranking-slow',
    );
  });
});

describe('gaps', () => {
  test('counts a stroke inside a gap and invents no peak', () => {
    const thirdTopS = 1 + 2 * 0.48;
    const trace = withoutSamples(syntheticTrace({ peaksKpa: STEADY }), thirdTopS - 0.15, thirdTopS + 0.15);
    const reading = readTrace(trace, OPTIONS);
    expect(reading.strokes).toHaveLength(7);
    expect(reading.strokes[2]).toMatchObject({
      number: 3,
      lost: true,
      peakKpa: null,
      peakPlusMinusKpa: null,
    });
    expect(codes(reading)).toContain('samples-missing');
    expectNear(reading.finalKpa, 1100, 0.004);
  });

  test('estimates a top in a short gap from its flanks, with a wider interval', () => {
    const thirdTopS = 1 + 2 * 0.48;
    const trace = withoutSamples(syntheticTrace({ peaksKpa: STEADY }), thirdTopS - 0.012, thirdTopS + 0.012);
    const third = readTrace(trace, OPTIONS).strokes[2]!;
    expectNear(third.peakKpa, 1100, 0.01);
    expect(Math.abs(third.peakKpa! - 1100)).toBeLessThan(third.peakPlusMinusKpa!);
  });

  test('reads a dense trace to its end, however many small gaps it has', () => {
    const whole = syntheticTrace({ peaksKpa: Array.from({ length: 60 }, () => 1100), rateHz: 1000 });
    // Two samples in twenty-one are lost: every piece has an odd number of samples.
    const kept = (_: number, i: number) => i % 21 < 19;
    const trace = { ...whole, timeS: whole.timeS.filter(kept), pressureKpa: whole.pressureKpa.filter(kept) };
    const { strokes } = readTrace(trace, OPTIONS);
    expect(strokes).toHaveLength(60);
    expectNear(strokes.at(-1)!.peakKpa, 1100, 0.004);
  });
});

describe('traces without cranking', () => {
  const trace = (kpas: readonly number[]): Trace => ({
    timeS: Float64Array.from(kpas, (_, i) => i / 200),
    pressureKpa: Float64Array.from(kpas),
    gaps: [],
  });
  test.each([
    ['nothing', []],
    ['one sample', [3]],
    ['a dead sensor', Array.from({ length: 800 }, () => 1.5)],
    ['a quiet sensor', Array.from({ length: 800 }, (_, i) => (i * 7919) % 5)],
  ])('%s: no strokes, no final, a stop', (_, kpas) => {
    const reading = readTrace(trace(kpas), OPTIONS);
    expect(reading.strokes).toEqual([]);
    expect(reading.finalKpa).toBeNull();
    expect(reading.notices).toMatchObject([{ code: 'no-strokes', severity: 'stop' }]);
  });
});

describe('releasing the pressure', () => {
  const LEVELS = [780, 1053, 1148.6, 1182, 1193.7, 1197.8, 1199.2];
  const capture = syntheticTrace({ peaksKpa: LEVELS, checkValve: true, tailS: 3 });
  const lastStepS = 1 + 6 * 0.48;
  test.each([
    ['at once', 0.3, 0.002],
    ['at once, late', 1.5, 0.002],
    ['through a small valve', 0.6, 0.3],
  ])('%s changes nothing', (_, afterS, fallsInS) => {
    const offS = lastStepS + afterS;
    const released = mapPressure(capture, (kpa, t) =>
      t < offS ? kpa : kpa * Math.exp(-(t - offS) / fallsInS),
    );
    const reading = readTrace(released, OPTIONS);
    expect(reading.hose).toBe('check-valve');
    expectNear(reading.finalKpa, 1199.2, 0.002);
    expect(reading.strokesToStabilise).toBe(4);
    expect(serious(reading)).toEqual([]);
  });
});

describe('a slow starter', () => {
  const peaksKpa = [1200, 1200, 1200, 1200, 1200, 1200, 1200];
  const codes = (rpm: number, checkValve: boolean) =>
    readTrace(
      syntheticTrace({
        rpm,
        rateHz: 400,
        peaksKpa: checkValve ? [600, 900, 1050, 1120, 1150, 1165, 1172] : peaksKpa,
        checkValve,
      }),
      { cycle: 4 },
    ).notices.map(({ code }) => code);

  test.each([false, true])('is reported on both hoses, check valve %s', (checkValve) => {
    expect(codes(150, checkValve)).toContain('cranking-below-usual');
    expect(codes(220, checkValve)).not.toContain('cranking-below-usual');
    expect(codes(100, checkValve)).toContain('cranking-slow');
    expect(codes(100, checkValve)).not.toContain('cranking-below-usual');
  });
});

test('a sensor whose clock keeps restarting is reported, and its reading is not used', () => {
  const trace = syntheticTrace({
    rpm: 220,
    rateHz: 400,
    peaksKpa: [1200, 1200, 1200, 1200, 1200, 1200, 1200],
  });
  const withResets = (count: number) => {
    const gaps = Array.from({ length: count }, (_, i) => ({
      startS: trace.timeS[300 * (i + 1)]!,
      endS: trace.timeS[300 * (i + 1) + 1]!,
      reason: 'clock-reset' as const,
    }));
    return readTrace({ ...trace, gaps }, { cycle: 4 }).notices;
  };
  expect(withResets(2).map(({ code }) => code)).not.toContain('sensor-unsteady');
  expect(withResets(3)).toContainEqual(
    expect.objectContaining({ code: 'sensor-unsteady', severity: 'stop', values: { resets: 3 } }),
  );
});

describe('a sensor that sends invalid values', () => {
  const engine = makeEngine({ layout: presetLayout('inline', 4) });

  test.each([
    ['open', 100],
    ['open', 200],
    ['open', 1000],
    ['check-valve', 100],
    ['check-valve', 200],
    ['check-valve', 1000],
  ] as const)(
    'is reported when every fifth packet is garbage: %s hose, %d samples a second',
    (hose, rateHz) => {
      const { trace } = simulateTrace({
        engine,
        cylinder: 1,
        seed: 4,
        rig: rigFor(hose),
        sensor: { rateHz },
      });
      const random = createRandom(8);
      const garbled = trace.pressureKpa.map((kpa, i) =>
        Math.floor(i / 10) % 5 === 4 ? random.between(-2500, 2500) : kpa,
      );
      const codes = (pressureKpa: Float64Array) =>
        readTrace({ ...trace, pressureKpa }, { cycle: 4 }).notices.map(({ code }) => code);
      expect(codes(trace.pressureKpa)).not.toContain('sensor-unsteady');
      expect(codes(garbled)).toContain('sensor-unsteady');
    },
  );
});
