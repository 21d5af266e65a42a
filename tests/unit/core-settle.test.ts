import { describe, expect, test } from 'vitest';
import { settleHeld, settleOpen } from '../../worker/core/measure/settle.ts';

const tops = (peaks: readonly (number | null)[]) =>
  peaks.map((peakKpa) => ({ peakKpa, peakPlusMinusKpa: peakKpa === null ? null : 2 }));

describe('settleOpen', () => {
  test.each([
    ['steady', [1000, 1001, 999, 1000], 0, 1000],
    ['one low first stroke', [800, 1000, 1002, 998], 1, 1000],
    // Falling strokes never settle, so the last three count although they differ by more than 7 kPa from their mean.
    ['sinking', [364, 355.44, 346.87, 338.11, 329.15], 2, 338.04],
    ['within 7 kPa of a low final though not within 2 %', [94, 100, 106], 0, 100],
  ])('%s', (_, peaks, from, finalKpa) => {
    const settled = settleOpen(tops(peaks))!;
    expect(settled.from).toBe(from);
    expect(settled.finalKpa).toBeCloseTo(finalKpa, 2);
  });

  test('the last stroke alone does not settle', () => {
    const settled = settleOpen(tops([1000, 1000, 1000, 1000, 1000, 900]))!;
    expect(settled.unsettled).toBe(true);
    expect(settled.finalKpa).toBeCloseTo(2900 / 3, 2);
  });

  test('three strokes that agree settle', () => {
    expect(settleOpen(tops([800, 900, 1000, 1000, 1000]))!.unsettled).toBeUndefined();
    expect(settleOpen(tops([800, 900, 950, 1000, 1000]))!.unsettled).toBe(true);
  });

  describe('coasting strokes, after the starter was released', () => {
    const timed = (peaks: readonly number[], steps: readonly number[]) =>
      tops(peaks).map((top, i) => ({
        ...top,
        timeS: steps.slice(0, i).reduce((sum, step) => sum + step, 0),
      }));

    test.each([
      ['one', [990, 1000, 1000, 1000, 1000, 930], [0.5, 0.5, 0.5, 0.5, 0.6], 5],
      ['two', [990, 1000, 1000, 1000, 930, 870], [0.5, 0.5, 0.5, 0.6, 0.8], 4],
    ])('%s, slower and lower, are left out', (_, peaks, steps, to) => {
      const settled = settleOpen(timed(peaks, steps))!;
      expect(settled.to).toBe(to);
      expect(settled.finalKpa).toBeGreaterThan(996);
      expect(settled.unsettled).toBeUndefined();
    });

    test.each([
      ['lower at the same speed', [1000, 1000, 1000, 1000, 1000, 930], [0.5, 0.5, 0.5, 0.5, 0.5], 6],
      ['slower and as high', [1000, 1000, 1000, 1000, 1000, 995], [0.5, 0.5, 0.5, 0.5, 0.6], 6],
    ])('a last stroke that is %s counts', (_, peaks, steps, to) => {
      expect(settleOpen(timed(peaks, steps))!.to).toBe(to);
    });
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
