import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { estimateLeaks, type LeakEstimate } from '../../worker/core/leak/leak-estimate.ts';
import { dry, engineOf, readingOf } from '../support/judge-readings.ts';

const engine = engineOf('inline-4', {
  geometry: { boreMm: 84, strokeMm: 86, rodMm: 143.5, compressionRatio: 9.2, intakeClosesDegAbdc: 58 },
});
const air = { ambientKpa: 101 };
const test = (...finals: number[]) => finals.map((final, i) => dry(i + 1, readingOf(final)));
const leakOf = (estimates: readonly LeakEstimate[], cylinder: number): number => {
  const one = estimates.find((e) => e.cylinder === cylinder);
  return one && !('reason' in one) ? one.leakMm2 : Number.NaN;
};
const low = fc.integer({ min: 500, max: 950 });

describe('the size of a leak', () => {
  it('grows as the cylinder reads lower', () => {
    fc.assert(
      fc.property(low, fc.integer({ min: 25, max: 150 }), (kpa, less) => {
        const one = leakOf(estimateLeaks(test(1150, 1140, 1160, kpa), engine, air), 4);
        const two = leakOf(estimateLeaks(test(1150, 1140, 1160, kpa - less), engine, air), 4);
        expect(two).toBeGreaterThan(one);
      }),
      { numRuns: 6 },
    );
  });

  it('is not estimated for a dead cylinder, and the others do not change', () => {
    fc.assert(
      fc.property(fc.integer({ min: 60, max: 300 }), (kpa) => {
        const estimates = estimateLeaks(test(1150, 1140, 1160, kpa), engine, air);
        expect(estimates[3]).toEqual({ cylinder: 4, reason: 'too-uncertain' });
        const beside = estimateLeaks(test(1150, 1140, 1160, 700), engine, air);
        for (const n of [1, 2, 3]) expect(leakOf(estimates, n) / leakOf(beside, n)).toBeCloseTo(1, 1);
      }),
      { numRuns: 4 },
    );
  });

  it('does not depend on the order of the cylinders', () => {
    fc.assert(
      fc.property(low, (kpa) => {
        const readings = test(1150, kpa, 1140, 1160);
        const one = estimateLeaks(readings, engine, air);
        const two = estimateLeaks([...readings].reverse(), engine, air);
        for (const n of [1, 2, 3, 4]) expect(leakOf(two, n)).toBeCloseTo(leakOf(one, n), 6);
      }),
      { numRuns: 4 },
    );
  });

  it('does not depend on the barometer when everything scales with it', () => {
    fc.assert(
      fc.property(low, fc.double({ min: 0.8, max: 1, noNaN: true }), (kpa, thin) => {
        const here = estimateLeaks(test(1150, 1140, 1160, kpa), engine, air);
        const there = estimateLeaks(test(1150 * thin, 1140 * thin, 1160 * thin, kpa * thin), engine, {
          ambientKpa: 101 * thin,
        });
        expect(Math.abs(leakOf(there, 4) / leakOf(here, 4) - 1)).toBeLessThan(0.06);
      }),
      { numRuns: 4 },
    );
  });

  it('is a number within its interval or a reason, for any reading', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 1, max: 4000, noNaN: true }), { minLength: 1, maxLength: 4 }),
        (finals) => {
          for (const one of estimateLeaks(test(...finals), engine, air)) {
            if ('reason' in one) continue;
            expect(one.lowMm2).toBeGreaterThan(0);
            expect(one.lowMm2).toBeLessThanOrEqual(one.leakMm2);
            expect(one.leakMm2).toBeLessThanOrEqual(one.highMm2);
            expect(Number.isFinite(one.leakDownPercent)).toBe(true);
          }
        },
      ),
      { numRuns: 12 },
    );
  });
});
