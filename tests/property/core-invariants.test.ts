/** Invariants of a reading of a simulated capture: it depends on the capture and not on how it was recorded. */
import fc from 'fast-check';
import { describe, expect, test, vi } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { withFault } from '../../simulator/faults.ts';
import { specimen } from '../../simulator/population.ts';
import { createRandom } from '../../simulator/random.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { layoutFromName } from '../../worker/core/layouts.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import type { CylinderReading, Reading, ReadingOptions, Stroke } from '../../worker/core/reading.ts';
import type { Trace } from '../../worker/core/trace.ts';
import { mapPressure } from '../support/synthetic-trace.ts';

// Each run simulates an engine.
vi.setConfig({ testTimeout: 30_000 });

interface Capture {
  readonly trace: Trace;
  readonly options: ReadingOptions;
  readonly reading: Reading;
}

/** Captures by number: engines of every kind, some faulty, on either hose; radio and sensor without faults. */
const numbers = fc.integer({ min: 0, max: 340 });
const SOME = { numRuns: 15 };

function captureOf(index: number, rateHz?: number): Capture {
  const { spec, engine } = specimen(index, { seed: 77, whole: true, rateHz });
  const { trace } = simulateTrace(spec);
  const options = { cycle: engine.cycle, ambientKpa: spec.ambientKpa, hose: spec.rig!.hose };
  return { trace, options, reading: readTrace(trace, options) };
}

const codes = (reading: Reading) => reading.notices.map((n) => n.code).sort();
/**
 * How far a top may move: `share` of it, or the first reading's own plus-minus where `orPlusMinus`; with
 * `eachPlusMinus`, where each reading has its own noise, as far as the intervals of both still touch.
 */
interface Allowed {
  readonly share: number;
  readonly orPlusMinus?: boolean;
  readonly eachPlusMinus?: boolean;
  /** The same as `share`, for the final pressure. */
  readonly finalShare?: number;
}

/** A figure and half its 95 % interval, kPa. */
type Figure = readonly [kpa: number | null, plusMinusKpa: number | null];

/**
 * The same strokes, the same tops and final, the same notices. With a check valve the last strokes raise the level by less than
 * the noise, so only the strokes up to the settled one are compared.
 */
function expectSame(before: Reading, after: Reading, allowed: Allowed, scale = 1): void {
  const held = before.hose === 'check-valve';
  const count = held ? (before.strokesToStabilise ?? 0) : before.strokes.length;
  const firstStrokes = (r: Reading) => r.strokes.slice(0, count).map((s) => [s.number, s.partial, s.lost]);
  expect(firstStrokes(after)).toEqual(firstStrokes(before));
  if (!held) expect(after.strokes.length).toBe(count);
  const near = ([was, wasOff]: Figure, [is, isOff]: Figure, share: number): void => {
    if (was === null) return;
    const doubt = allowed.eachPlusMinus ? wasOff! + isOff! : allowed.orPlusMinus ? wasOff! : 0;
    expect(Math.abs(is! / scale - was)).toBeLessThanOrEqual(Math.max(share * was, doubt));
  };
  // The part that all strokes of a hose share (0.3 %, twice) moves none of them.
  const top = ({ peakKpa, peakPlusMinusKpa }: Stroke): Figure => [
    peakKpa,
    peakKpa && Math.sqrt(Math.max(0, peakPlusMinusKpa! ** 2 - (0.006 * peakKpa) ** 2)),
  ];
  before.strokes.slice(0, count).forEach((s, i) => {
    near(top(s), top(after.strokes[i]!), allowed.share);
  });
  const final = (r: Reading): Figure => [r.finalKpa, r.finalPlusMinusKpa];
  near(final(before), final(after), allowed.finalShare ?? allowed.share);
  expect(after.hose).toBe(before.hose);
  expect(after.buildUp).toBe(before.buildUp);
}

const shifted = (trace: Trace, byS: number): Trace => ({
  timeS: trace.timeS.map((t) => t + byS),
  pressureKpa: trace.pressureKpa,
  gaps: trace.gaps.map((g) => ({ ...g, startS: g.startS + byS, endS: g.endS + byS })),
});

describe('a reading does not change', () => {
  test('when all times are shifted', () => {
    fc.assert(
      fc.property(numbers, fc.double({ min: -1e4, max: 1e6, noNaN: true }), (number, byS) => {
        const { trace, options, reading } = captureOf(number);
        const after = readTrace(shifted(trace, byS), options);
        expectSame(reading, after, { share: 1e-5 });
        expect(codes(after)).toEqual(codes(reading));
        expect(after.strokesToStabilise).toBe(reading.strokesToStabilise);
        after.strokes.forEach((s, i) => {
          expect(Math.abs(s.timeS - byS - reading.strokes[i]!.timeS)).toBeLessThan(1e-4);
        });
      }),
      SOME,
    );
  });

  test('when the sensor has a constant offset, except for the zero and its notices', () => {
    fc.assert(
      fc.property(numbers, fc.double({ min: -8, max: 8, noNaN: true }), (number, kpa) => {
        const { trace, options, reading } = captureOf(number);
        const after = readTrace(
          mapPressure(trace, (p) => p + kpa),
          options,
        );
        expectSame(reading, after, { share: 1e-5 });
        if (reading.zeroKpa !== null) expect(after.zeroKpa! - reading.zeroKpa).toBeCloseTo(kpa, 6);
        const others = (r: Reading) => codes(r).filter((code) => code !== 'zero-shifted');
        expect(others(after)).toEqual(others(reading));
      }),
      SOME,
    );
  });

  test('when the sensor is left on after the test', () => {
    fc.assert(
      fc.property(numbers, fc.integer({ min: 1, max: 10 }), (number, moreS) => {
        const { trace, options, reading } = captureOf(number);
        const after = readTrace(withSilence(trace, moreS), options);
        // A longer trace gives another sample of the noise.
        expectSame(reading, after, { share: 2e-3, orPlusMinus: true });
        expect(Math.abs(after.strokesToStabilise! - reading.strokesToStabilise!)).toBeLessThanOrEqual(1);
      }),
      SOME,
    );
  });
});

/** Extends the trace by `moreS` with the last half second repeated, shuffled: the same level and the same noise. */
function withSilence(trace: Trace, moreS: number): Trace {
  const { timeS, pressureKpa } = trace;
  const random = createRandom(5);
  const n = timeS.length;
  const stepS = (timeS[n - 1]! - timeS[0]!) / (n - 1);
  const last = pressureKpa.subarray(n - Math.round(0.5 / stepS));
  const more = Math.round(moreS / stepS);
  const times = Float64Array.from({ length: n + more }, (_, i) =>
    i < n ? timeS[i]! : timeS[n - 1]! + (i - n + 1) * stepS,
  );
  const kpas = Float64Array.from({ length: n + more }, (_, i) =>
    i < n ? pressureKpa[i]! : last[random.index(last.length)]!,
  );
  return { timeS: times, pressureKpa: kpas, gaps: trace.gaps };
}

describe('a reading follows', () => {
  test('the scale of all pressures', () => {
    fc.assert(
      fc.property(numbers, fc.double({ min: 0.6, max: 1.7, noNaN: true }), (number, by) => {
        const { trace, options, reading } = captureOf(number);
        const after = readTrace(
          mapPressure(trace, (p) => p * by),
          { ...options, ambientKpa: options.ambientKpa! * by },
        );
        // The final pressure is a mean of the strokes within 7 kPa of it, and those 7 kPa do not scale.
        expectSame(reading, after, { share: 2e-3, finalShare: 0.02 }, by);
        if (reading.crankingRpm !== null) expect(after.crankingRpm! / reading.crankingRpm).toBeCloseTo(1, 3);
      }),
      SOME,
    );
  });

  test('its capture at half the rate, within the noise and a tenth of a per cent', () => {
    fc.assert(
      fc.property(numbers, (number) => {
        const { trace, options, reading } = captureOf(number, 1000);
        const every = (values: Float64Array) => values.filter((_, i) => i % 2 === 0);
        const after = readTrace(
          { timeS: every(trace.timeS), pressureKpa: every(trace.pressureKpa), gaps: [] },
          options,
        );
        // Half the samples average out less noise: a faint first pulse may read 2 kPa less.
        expectSame(reading, after, { share: 1e-3, eachPlusMinus: true });
        expect(after.sampleRateHz! / reading.sampleRateHz!).toBeCloseTo(0.5, 1);
      }),
      SOME,
    );
  });
});

describe('a judgement does not change', () => {
  const FAULTS = ['worn-rings', 'valve-leak', 'gasket-leak'] as const;

  test('with the order in which the cylinders were measured', () => {
    const engines = fc.record({
      fault: fc.constantFrom(...FAULTS),
      severity: fc.double({ min: 0.2, max: 1, noNaN: true }),
      cylinder: fc.integer({ min: 1, max: 3 }),
      seed: fc.nat(),
    });
    fc.assert(
      fc.property(engines, ({ fault, severity, cylinder, seed }) => {
        const layout = layoutFromName('inline-4')!;
        const bad = fault === 'gasket-leak' ? [cylinder, cylinder + 1] : [cylinder];
        const engine = withFault(makeEngine({ layout }), fault, bad, severity);
        const readings = [1, 2, 3, 4].map((number): CylinderReading => {
          const { trace } = simulateTrace({ engine, cylinder: number, seed: seed + number });
          return { cylinder: number, condition: 'dry', reading: readTrace(trace, { cycle: 4 }) };
        });
        const facts = { cycle: 4, fuel: 'spark', layout, manual: {}, geometry: {} } as const;
        const judged = (order: readonly CylinderReading[]) => {
          const { suspects, ...rest } = judgeEngine(order, facts, { code: 'percent-of-highest' });
          return { ...rest, suspects: suspects.map((s) => [s.cause, s.cylinders, s.confidence.toFixed(9)]) };
        };
        expect(judged([...readings].reverse())).toEqual(judged(readings));
      }),
      { numRuns: 12 },
    );
  });
});
