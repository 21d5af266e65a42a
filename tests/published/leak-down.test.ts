/** Leak-down equivalents against FAA AC 43.13-1B, para 8-14. */
import { describe, expect, it } from 'vitest';
import { leakDownPercent, leakOfLeakDown, masterOrificeMm2 } from '../../worker/core/physics/leak-down.ts';
import { CRITICAL_RATIO, nozzleFlow } from '../../worker/core/physics/nozzle-flow.ts';

describe('master orifice (FAA safety notice of November 2011 on AC 43.13-1B, para 8-14)', () => {
  // 0.040 in below a bore of 5 in, 0.060 in from there up.
  it.each([
    [4.99, 0.04],
    [5, 0.06],
  ])('bore %d in: %d in', (boreIn, orificeIn) => {
    const mm = 25.4 * orificeIn;
    expect(masterOrificeMm2(25.4 * boreIn)).toBeCloseTo((Math.PI / 4) * mm * mm, 9);
  });
});

describe('60/80, a loss of 25 % (AC 43.13-1B, para 8-14)', () => {
  // With equal discharge coefficients: computed by hand from the two flows in a row.
  it.each([
    [100, 0.86],
    [130, 1.93],
  ])('with a bore of %d mm is a leak of %d mm2', (boreMm, mm2) => {
    expect(leakOfLeakDown(25, boreMm)).toBeCloseTo(mm2, 2);
    expect(Math.abs(leakDownPercent(mm2, boreMm) - 25)).toBeLessThan(0.2);
  });

  it('converts back to the same area', () => {
    for (const percent of [1, 10, 25, 50, 80, 95]) {
      expect(leakDownPercent(leakOfLeakDown(percent, 90), 90)).toBeCloseTo(percent, 6);
    }
  });

  it('grows with the leak from 0 to 100 %', () => {
    const losses = [0, 0.1, 0.4, 1, 3, 10, 1000].map((mm2) => leakDownPercent(mm2, 90));
    expect(losses[0]).toBeCloseTo(0, 6);
    expect(losses.at(-1)).toBeGreaterThan(99);
    expect([...losses].sort((a, b) => a - b)).toEqual(losses);
  });
});

describe('nozzle flow, ratio of heat capacities 1.4', () => {
  // Heywood, Internal Combustion Engine Fundamentals, 1988, App. C (recalled); figures computed from its formulas.
  it('chokes at the published ratio, with the published coefficient', () => {
    expect(CRITICAL_RATIO).toBeCloseTo(0.528282, 6);
    expect(nozzleFlow(CRITICAL_RATIO)).toBeCloseTo(0.684731, 6);
    expect(nozzleFlow(0.1)).toBeCloseTo(0.684731, 6);
    expect(nozzleFlow(1)).toBe(0);
  });

  // 1 mm2 at 10 bar, 600 K, R 287.058: 1.650 g/s (computed from Heywood, App. C).
  it('lets 1.650 g/s through 1 mm2 at 10 bar and 600 K', () => {
    const kgPerS = (1e-6 * 1e6 * nozzleFlow(0.1)) / Math.sqrt(287.058 * 600);
    expect(1000 * kgPerS).toBeCloseTo(1.65, 3);
  });

  // Balmer, Modern Engineering Thermodynamics, Example 16.6 (transcribed): 1.00 MPa gives 0.528 MPa in the throat.
  it('puts the throat of a choked nozzle where the textbook does', () => {
    expect(1 * CRITICAL_RATIO).toBeCloseTo(0.528, 3);
  });
});
