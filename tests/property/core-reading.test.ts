import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { openLiveView } from '../../worker/core/measure/live-view.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { settleToleranceKpa } from '../../worker/core/measure/settle.ts';
import type { Reading } from '../../worker/core/reading.ts';
import { mapPressure, SYNTHETIC_AMBIENT_KPA, syntheticTrace } from '../support/synthetic-trace.ts';

const OPTIONS = { cycle: 4, ambientKpa: SYNTHETIC_AMBIENT_KPA } as const;
const RUNS = { numRuns: 25 };

/** Ordinary captures of either hose. */
const captures = fc
  .record({
    heightKpa: fc.integer({ min: 600, max: 3000 }),
    strokes: fc.integer({ min: 5, max: 10 }),
    tau: fc.double({ min: 0.3, max: 3, noNaN: true }),
    rpm: fc.integer({ min: 150, max: 320 }),
    rateHz: fc.constantFrom(200, 250, 400),
    checkValve: fc.boolean(),
  })
  .map(({ heightKpa, strokes, tau, ...rest }) => {
    const peaksKpa = Array.from({ length: strokes }, (_, k) => heightKpa * (1 - 0.4 * Math.exp(-k / tau)));
    return { ...rest, peaksKpa };
  });

const peaks = (reading: Reading) => reading.strokes.map((s) => s.peakKpa!);

function expectSamePeaks(a: Reading, b: Reading, share: number): void {
  expect(b.strokes).toHaveLength(a.strokes.length);
  const apart = peaks(a).map((peak, i) => Math.abs(peaks(b)[i]! / peak - 1));
  expect(Math.max(...apart)).toBeLessThan(share);
  const settledApart = Math.abs((b.strokesToStabilise ?? 0) - (a.strokesToStabilise ?? 0));
  expect(settledApart).toBeLessThanOrEqual(isOnTheEdge(a) ? 1 : 0);
  expect(b.hose).toBe(a.hose);
}

/** The captures' noise of 0.5 kPa moves a level by no more than this when it is averaged over more samples, kPa. */
const LEVEL_NOISE_KPA = 0.15;

/** Whether a stroke lies so close to the tolerance around final that noise decides whether it has settled. */
function isOnTheEdge({ strokes, finalKpa }: Reading): boolean {
  const toleranceKpa = settleToleranceKpa(finalKpa!);
  return strokes.some(({ peakKpa }) => Math.abs(finalKpa! - peakKpa! - toleranceKpa) < LEVEL_NOISE_KPA);
}

describe('a reading does not change', () => {
  test('when all times are shifted', () => {
    fc.assert(
      fc.property(captures, fc.integer({ min: -50, max: 5000 }), (spec, shiftS) => {
        const trace = syntheticTrace(spec);
        const before = readTrace(trace, OPTIONS);
        const after = readTrace({ ...trace, timeS: trace.timeS.map((t) => t + shiftS) }, OPTIONS);
        expectSamePeaks(before, after, 1e-4);
        expect(after.crankingRpm ?? 0).toBeCloseTo(before.crankingRpm ?? 0, 1);
        const moved = after.strokes.map((s, i) => Math.abs(s.timeS - shiftS - before.strokes[i]!.timeS));
        expect(Math.max(...moved)).toBeLessThan(1e-3);
      }),
      RUNS,
    );
  });

  test('when the sensor has an offset', () => {
    fc.assert(
      fc.property(captures, fc.double({ min: -40, max: 40, noNaN: true }), (spec, offset) => {
        const trace = syntheticTrace(spec);
        const before = readTrace(trace, OPTIONS);
        const after = readTrace(
          mapPressure(trace, (kpa) => kpa + offset),
          OPTIONS,
        );
        expectSamePeaks(before, after, 1e-4);
        expect(after.zeroKpa! - before.zeroKpa!).toBeCloseTo(offset, 6);
      }),
      RUNS,
    );
  });

  test('when the sensor is left on for longer', () => {
    fc.assert(
      fc.property(captures, fc.integer({ min: 1, max: 8 }), (spec, moreS) => {
        const before = readTrace(syntheticTrace(spec), OPTIONS);
        const after = readTrace(syntheticTrace({ ...spec, tailS: 1 + moreS }), OPTIONS);
        expectSamePeaks(before, after, 2e-3);
      }),
      RUNS,
    );
  });
});

describe('a reading follows', () => {
  test('the scale of the pressures', () => {
    fc.assert(
      fc.property(captures, fc.double({ min: 0.5, max: 2, noNaN: true }), (spec, scale) => {
        const trace = syntheticTrace(spec);
        const before = readTrace(trace, OPTIONS);
        const scaled = readTrace(
          mapPressure(trace, (kpa) => kpa * scale),
          {
            ...OPTIONS,
            ambientKpa: OPTIONS.ambientKpa * scale,
          },
        );
        // Not final: a tolerance of 7 kPa settles a small scale sooner than a large one.
        // Not the last steps of a check valve either, which the noise may hide.
        const ratios = peaks(before)
          .slice(0, 3)
          .map((peak, i) => peaks(scaled)[i]! / (scale * peak));
        if (!spec.checkValve) expect(scaled.strokes).toHaveLength(before.strokes.length);
        expect(Math.max(...ratios.map((r) => Math.abs(r - 1)))).toBeLessThan(0.003);
      }),
      RUNS,
    );
  });

  test('the same pulses at another rate, within 1 %', () => {
    fc.assert(
      fc.property(captures, fc.constantFrom(200, 333, 800, 1500), (spec, rateHz) => {
        const reading = readTrace(syntheticTrace({ ...spec, rateHz }), OPTIONS);
        expect(reading.strokes.length).toBeGreaterThanOrEqual(3);
        const off = reading.strokes.slice(0, 4).map((s, i) => Math.abs(s.peakKpa! / spec.peaksKpa[i]! - 1));
        expect(Math.max(...off)).toBeLessThan(0.01);
      }),
      RUNS,
    );
  });
});

describe('a live reading', () => {
  test('never loses a stroke, and ends with the strokes of the whole trace', () => {
    fc.assert(
      fc.property(captures, fc.integer({ min: 5, max: 120 }), (spec, size) => {
        const trace = syntheticTrace(spec);
        const stream = openLiveView(OPTIONS);
        let count = 0;
        for (let i = 0; i < trace.timeS.length; i += size) {
          const live = stream.push({
            timeS: trace.timeS.slice(i, i + size),
            pressureKpa: trace.pressureKpa.slice(i, i + size),
          });
          expect(live.strokes.length).toBeGreaterThanOrEqual(count - 1);
          count = Math.max(count, live.strokes.length);
        }
        expect(Math.abs(count - readTrace(trace, OPTIONS).strokes.length)).toBeLessThanOrEqual(1);
      }),
      { numRuns: 10 },
    );
  });
});
