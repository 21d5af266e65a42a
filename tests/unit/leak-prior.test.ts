/** What the leak estimate assumes of sound cylinders, and how its intervals follow what is known. */
import { describe, expect, it } from 'vitest';
import { estimateLeaks, type LeakEstimate } from '../../worker/core/leak/leak-estimate.ts';
import { dry, engineOf, readingOf } from '../support/judge-readings.ts';

const air = { ambientKpa: 101 };
const GEOMETRY = { boreMm: 84, strokeMm: 86, rodMm: 143.5, compressionRatio: 9.2, intakeClosesDegAbdc: 58 };
const leaksOf = (geometry: Partial<typeof GEOMETRY>, ...kpa: number[]) =>
  estimateLeaks(
    kpa.map((final, i) => dry(i + 1, readingOf(final))),
    engineOf('inline-4', { geometry }),
    air,
  );
const sizeOf = (one: LeakEstimate | undefined) => {
  if (!one || 'reason' in one) throw new Error('refused');
  return one;
};
const SOUND = [1150, 1140, 1160, 1150];

describe('sound cylinders', () => {
  it('leak by about the 5 to 10 % of a leak-down test', () => {
    for (const one of leaksOf(GEOMETRY, ...SOUND).map(sizeOf)) {
      expect(one.leakDownPercent).toBeLessThan(11);
      expect(one.leakDownPercent).toBeGreaterThan(5);
    }
  });

  it('leak in proportion to the bore, by their prior', () => {
    const small = sizeOf(leaksOf({ ...GEOMETRY, boreMm: 70 }, ...SOUND)[0]);
    const large = sizeOf(leaksOf({ ...GEOMETRY, boreMm: 100 }, ...SOUND)[0]);
    expect(large.leakMm2 / small.leakMm2).toBeGreaterThan(1.2);
    expect(large.leakMm2 / small.leakMm2).toBeLessThan(1.7);
  });

  it('share what is not known of the engine: more of them narrow it little', () => {
    const width = (count: number) => {
      const { lowMm2, highMm2 } = sizeOf(leaksOf(GEOMETRY, ...SOUND.slice(0, count))[0]);
      return highMm2 / lowMm2;
    };
    expect(width(4)).toBeGreaterThan(0.9 * width(2));
  });
});

it('a closing that the card does not state widens the interval', () => {
  const { intakeClosesDegAbdc: _, ...without } = GEOMETRY;
  const width = (geometry: Partial<typeof GEOMETRY>) => {
    const { lowMm2, highMm2 } = sizeOf(leaksOf(geometry, 1150, 900, 1140, 1160)[1]);
    return highMm2 / lowMm2;
  };
  expect(width(without)).toBeGreaterThan(1.02 * width(GEOMETRY));
});
