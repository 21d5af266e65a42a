/** The number of strokes that a reading needs, the same for traces and typed figures. */
import { describe, expect, it } from 'vitest';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { readTyped } from '../../worker/core/measure/read-typed.ts';
import type { Reading } from '../../worker/core/reading.ts';
import { isTooShort, isUnusable } from '../../worker/core/reading-quality.ts';
import { type SyntheticTrace, syntheticTrace } from '../support/synthetic-trace.ts';

const read = (spec: SyntheticTrace): Reading => readTrace(syntheticTrace(spec), { cycle: 4 });
const typed = (strokesKpa: number[], finalKpa?: number): Reading =>
  readTyped({ strokesKpa, finalKpa }, { cycle: 4 });

/** Pressure that a check-valve hose holds after each stroke of a sound cylinder; the true final is 1291 kPa. */
const FILLING = [924, 1200, 1269, 1286, 1290, 1291];
const held = (count: number, tailS: number): Reading =>
  read({ peaksKpa: FILLING.slice(0, count), checkValve: true, tailS });

const expectTooFew = (reading: Reading): void => {
  expect(isTooShort(reading)).toBe(true);
  expect(isUnusable(reading)).toBe(true);
  expect(reading.finalPlusMinusKpa).toBeNull();
  expect(reading.strokesToStabilise).toBeNull();
};

describe('too few strokes', () => {
  it.each([1, 2, 3, 4])('%d on an open hose', (count) => {
    expectTooFew(read({ peaksKpa: Array.from({ length: count }, () => 1200) }));
  });

  it.each([
    [1, 2],
    [1, 8],
    [2, 2],
    [2, 8],
  ])('%d on a check-valve hose, then held for %d s: the next stroke would have raised it', (count, tailS) => {
    expectTooFew(held(count, tailS));
  });

  it.each([[[800]], [[800, 1200]], [[560, 840, 980, 1050]]])(
    '%j typed in while the needle still rises',
    (strokes) => {
      expectTooFew(typed(strokes));
    },
  );
});

describe('enough strokes', () => {
  it('five on an open hose', () => {
    expect(isTooShort(read({ peaksKpa: [1200, 1200, 1200, 1200, 1200] }))).toBe(false);
  });

  it.each([3, 4, 5, 6])(
    '%d visible on a nearly full check-valve hose; the plus-minus covers the missing rise',
    (count) => {
      const reading = held(count, 2);
      expect(isTooShort(reading)).toBe(false);
      expect(reading.finalPlusMinusKpa! + reading.finalKpa!).toBeGreaterThan(1291);
    },
  );

  it('few typed in, where the needle stopped rising or the final figure is given', () => {
    expect(isTooShort(typed([800, 1150, 1160, 1160]))).toBe(false);
    expect(isTooShort(typed([800, 1100], 1200))).toBe(false);
    expect(isTooShort(typed([], 1200))).toBe(false);
  });
});
