/** Units against the definitions, NIST, and two libraries. */
import Qty from 'js-quantities';
import { unit } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { fromKpa, type PressureUnit, toKpa } from '../../worker/core/units.ts';
import { KPA_PER_UNIT, UNITS } from '../../worker/wire/presentation-format.ts';

describe('pascals in one unit', () => {
  it.each<[PressureUnit, number, string]>([
    [
      'psi',
      6894.757293168361,
      '0.45359237 kg x 9.80665 m/s2 / (0.0254 m)^2: yard and pound agreement 1959, CGPM 1901',
    ],
    ['bar', 1e5, 'NIST SP 811 (2008), App. B, exact (recalled)'],
    ['kgf/cm2', 98066.5, 'NIST SP 811 (2008), App. B, exact (recalled)'],
    ['MPa', 1e6, 'SI'],
    ['kPa', 1e3, 'SI'],
    ['Pa', 1, 'SI'],
  ])('%s: %d', (name, pa) => {
    expect(toKpa(1, name) * 1000).toBeCloseTo(pa, 9);
    expect(fromKpa(pa / 1000, name)).toBeCloseTo(1, 14);
  });

  // NIST SP 811 (2008), App. B: psi 6.894 757 E+03 (recalled).
  it('psi to the digits that NIST prints', () => {
    expect((toKpa(1, 'psi') * 1000).toPrecision(7)).toBe('6894.757');
  });

  // One atmosphere is 101 325 Pa, 760 mmHg of 133.322 387 415 Pa (BIPM, SI brochure, 8th edition, table 8, recalled).
  it('mmHg as an atmosphere is 760 of them', () => {
    expect(KPA_PER_UNIT.get(UNITS.millimetreOfMercury)! * 760).toBeCloseTo(101.325, 3);
  });
});

describe('agrees with mathjs', () => {
  it.each<[PressureUnit, string]>([
    ['psi', 'psi'],
    ['bar', 'bar'],
    ['MPa', 'MPa'],
    ['Pa', 'Pa'],
  ])('%s', (ours, theirs) => {
    for (const value of [0.001, 1, 14.7, 180, 3000]) {
      // Its psi has fewer digits than the definition.
      expect(toKpa(value, ours) / unit(value, theirs).toNumber('kPa')).toBeCloseTo(1, 8);
    }
  });
});

describe('agrees with js-quantities', () => {
  it.each<[PressureUnit, string]>([
    ['psi', 'psi'],
    ['bar', 'bar'],
    ['kPa', 'kPa'],
    ['kgf/cm2', 'kg*gee/cm^2'],
  ])('%s', (ours, theirs) => {
    for (const value of [0.001, 1, 14.7, 180, 3000]) {
      expect(toKpa(value, ours) / new Qty(value, theirs).to('kPa').scalar).toBeCloseTo(1, 6);
    }
  });
});
