import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { lowerBound, median, quantile, solveSpd } from '../../worker/core/statistics.ts';

const number = fc.double({ min: -1e6, max: 1e6, noNaN: true });
const ascending = fc
  .array(fc.oneof(number, fc.integer({ min: 0, max: 5 })), { maxLength: 200 })
  .map((values) => Float64Array.from(values).sort());

describe('lowerBound', () => {
  test('is the number of values before t, wherever t lies and however uneven the values are', () => {
    fc.assert(
      fc.property(
        ascending,
        fc.oneof(number, fc.integer({ min: -1, max: 6 }), fc.constant(Number.POSITIVE_INFINITY)),
        (values, t) => {
          expect(lowerBound(values, t)).toBe(values.filter((v) => v < t).length);
        },
      ),
    );
  });

  test('finds each of its own values', () => {
    fc.assert(
      fc.property(ascending, (values) => {
        for (const v of values) expect(lowerBound(values, v)).toBe(values.indexOf(v));
      }),
    );
  });
});

describe('quantile', () => {
  test('is the value of that rank', () => {
    fc.assert(
      fc.property(
        fc.array(number, { minLength: 1, maxLength: 100 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (values, q) => {
          const sorted = Float64Array.from(values).sort();
          expect(quantile(values, q)).toBe(sorted[Math.round(q * (values.length - 1))]);
        },
      ),
    );
  });
});

describe('median', () => {
  test('is the middle value, or the mean of the two middle ones', () => {
    fc.assert(
      fc.property(fc.array(number, { minLength: 1, maxLength: 100 }), (values) => {
        const sorted = values.toSorted((a, b) => a - b);
        const half = (sorted.length - 1) / 2;
        expect(median(values)).toBe((sorted[Math.floor(half)]! + sorted[Math.ceil(half)]!) / 2);
      }),
    );
  });
});

describe('solveSpd', () => {
  test('solves a matrix made from a lower triangle and its transpose', () => {
    const entry = fc.double({ min: -2, max: 2, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(entry, { minLength: 9, maxLength: 9 }),
        fc.array(entry, { minLength: 3, maxLength: 3 }),
        (l, x) => {
          const lower = [
            1 + Math.abs(l[0]!),
            0,
            0,
            l[3]!,
            1 + Math.abs(l[4]!),
            0,
            l[6]!,
            l[7]!,
            1 + Math.abs(l[8]!),
          ];
          const a = Array.from({ length: 9 }, (_, k) => {
            const [i, j] = [Math.floor(k / 3), k % 3];
            return [0, 1, 2].reduce((sum, m) => sum + lower[3 * i + m]! * lower[3 * j + m]!, 0);
          });
          const b = [0, 1, 2].map((i) => [0, 1, 2].reduce((sum, j) => sum + a[3 * i + j]! * x[j]!, 0));
          const solved = solveSpd(a, b)!;
          for (const i of [0, 1, 2]) expect(solved[i]).toBeCloseTo(x[i]!, 7);
        },
      ),
    );
  });

  test('reports a singular matrix', () => {
    expect(solveSpd([1, 1, 1, 1], [1, 2])).toBeUndefined();
  });
});
