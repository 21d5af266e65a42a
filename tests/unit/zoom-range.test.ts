import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isWhole, limited, moved, pinched, type Range, zoomed } from '../../src/components/zoom-range.ts';

const WHOLE: Range = [-1, 9];
const close = (range: Range) => range.map((value) => Number(value.toFixed(9)));

describe('zooming', () => {
  test('halves what is shown about a place', () => {
    expect(close(zoomed(WHOLE, 0.5, 0.5, WHOLE))).toEqual([1.5, 6.5]);
    expect(close(zoomed(WHOLE, 0.5, 0, WHOLE))).toEqual([-1, 4]);
    expect(close(zoomed([2, 4], 0.5, 1, WHOLE))).toEqual([3, 4]);
  });

  test('out ends at the whole, also from its edge', () => {
    expect(zoomed([5, 9], 2, 0.5, WHOLE)).toEqual([1, 9]);
    expect(zoomed([5, 9], 4, 0.5, WHOLE)).toEqual(WHOLE);
    expect(isWhole(zoomed([5, 9], 4, 0.5, WHOLE), WHOLE)).toBe(true);
    expect(isWhole([5, 9], WHOLE)).toBe(false);
  });

  test('in ends at a hundredth of the whole', () => {
    const [from, to] = zoomed([4, 4.1], 0.001, 0.5, WHOLE);
    expect(to - from).toBeCloseTo(0.1);
    expect((from + to) / 2).toBeCloseTo(4.05);
  });
});

describe('moving', () => {
  test('goes by a share of what is shown', () => {
    expect(moved([2, 4], 0.5, WHOLE)).toEqual([3, 5]);
    expect(moved([2, 4], -0.5, WHOLE)).toEqual([1, 3]);
  });

  test('stops at the ends without zooming', () => {
    expect(moved([7, 9], 0.5, WHOLE)).toEqual([7, 9]);
    expect(moved([-1, 1], -3, WHOLE)).toEqual([-1, 1]);
    expect(moved(WHOLE, 0.5, WHOLE)).toEqual(WHOLE);
  });
});

describe('pinching', () => {
  test('keeps the values under the fingers', () => {
    // 3 and 5 are at 0.4 and 0.6, and go to 0.3 and 0.7: twice as close.
    expect(close(pinched(WHOLE, [0.4, 0.6], [0.3, 0.7], WHOLE))).toEqual([1.5, 6.5]);
    // Also with the fingers in the other order, and while they wander.
    expect(close(pinched(WHOLE, [0.6, 0.4], [0.8, 0.4], WHOLE))).toEqual([1, 6]);
  });

  test('changes nothing while the fingers are together or cross', () => {
    expect(pinched([2, 4], [0.4, 0.6], [0.5, 0.51], WHOLE)).toEqual([2, 4]);
    expect(pinched([2, 4], [0.4, 0.6], [0.6, 0.4], WHOLE)).toEqual([2, 4]);
  });
});

test('whatever is done, the range stays inside the whole and ascends', () => {
  const share = fc.double({ min: -2, max: 2, noNaN: true });
  const factor = fc.double({ min: 0.001, max: 100, noNaN: true });
  fc.assert(
    fc.property(share, share, share, share, factor, share, (a, b, c, d, by, at) => {
      const shown = limited([a, a + Math.abs(b)], WHOLE);
      for (const [from, to] of [
        zoomed(shown, by, at, WHOLE),
        moved(shown, c, WHOLE),
        pinched(shown, [a, b], [c, d], WHOLE),
      ]) {
        expect(from).toBeGreaterThanOrEqual(WHOLE[0] - 1e-9);
        expect(to).toBeLessThanOrEqual(WHOLE[1] + 1e-9);
        expect(to).toBeGreaterThan(from);
      }
    }),
  );
});
