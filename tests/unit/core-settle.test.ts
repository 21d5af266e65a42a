import { describe, expect, test } from 'vitest';
import { settleHeld, settleOpen } from '../../worker/core/measure/settle.ts';

const tops = (peaks: readonly (number | null)[]) =>
  peaks.map((peakKpa) => ({ peakKpa, peakPlusMinusKpa: peakKpa === null ? null : 2 }));

describe('settleOpen', () => {
  test.each([
    ['steady', [1000, 1001, 999, 1000], 0, 1000],
    ['one low first stroke', [800, 1000, 1002, 998], 1, 1000],
    // Falling strokes settle only at the end: 338.11 and 329.15 are within 7 kPa of their mean, 346.87 is not.
    ['sinking', [364, 355.44, 346.87, 338.11, 329.15], 3, 333.63],
    ['within 7 kPa of a low final though not within 2 %', [94, 100, 106], 0, 100],
  ])('%s', (_, peaks, from, finalKpa) => {
    const settled = settleOpen(tops(peaks))!;
    expect(settled.from).toBe(from);
    expect(settled.finalKpa).toBeCloseTo(finalKpa, 2);
  });

  test('skips lost tops', () => {
    expect(settleOpen(tops([null, 1000, null, 1000]))).toMatchObject({ from: 1, finalKpa: 1000 });
    expect(settleOpen(tops([null, null]))).toBeUndefined();
  });

  test('an uncertain top has little weight', () => {
    const settled = settleOpen([
      { peakKpa: 1000, peakPlusMinusKpa: 3 },
      { peakKpa: 1100, peakPlusMinusKpa: 120 },
      { peakKpa: 1000, peakPlusMinusKpa: 3 },
    ])!;
    expect(settled.from).toBe(0);
    expect(settled.finalKpa).toBeLessThan(1002);
  });
});

describe('settleHeld', () => {
  test('final is the highest level, settled the first that stays within 2 % of it', () => {
    expect(settleHeld([800, 970, 985, 1000, 1000])).toEqual({ finalKpa: 1000, from: 2 });
  });
  test('levels that sink after the highest never settle before it', () => {
    expect(settleHeld([800, 1000, 900, 850])).toEqual({ finalKpa: 1000, from: 1 });
  });
  test('without levels nothing settles', () => {
    expect(settleHeld([])).toBeUndefined();
  });
});
