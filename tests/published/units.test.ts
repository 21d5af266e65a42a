/** Units against the definitions, NIST, and two libraries. */
import Qty from 'js-quantities';
import { unit } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { fromReader, METRIC_UNITS, type Quantity, toReader } from '../../worker/core/quantities.ts';
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

// Factors of NIST SP 811 (2008), App. B (recalled): exact except inHg, the conventional inch of mercury in 7 digits.
const QUANTITIES: readonly (readonly [Quantity, string, number, string, string])[] = [
  ['barometer', 'inHg', 3.386389, 'inHg', 'kPa'],
  ['barometer', 'hPa', 0.1, 'hPa', 'kPa'],
  ['altitude', 'ft', 0.3048, 'ft', 'm'],
  ['distance', 'mi', 1.609344, 'mi', 'km'],
  ['length', 'in', 25.4, 'in', 'mm'],
];

describe.each(QUANTITIES)('%s in %s', (quantity, ours, factor, theirs, base) => {
  const units = { ...METRIC_UNITS, [quantity]: ours };

  it('has the factor of NIST', () => {
    expect(fromReader(1, quantity, units)).toBe(factor);
    expect(toReader(factor, quantity, units)).toBe(1);
  });

  it('agrees with two libraries', () => {
    for (const value of [0.031, 1, 29.92, 5280]) {
      const converted = fromReader(value, quantity, units);
      if (theirs !== 'inHg') expect(converted).toBeCloseTo(unit(value, theirs).toNumber(base), 9);
      // Its inch of mercury and its hectopascal have fewer digits than those of NIST.
      expect(converted / new Qty(value, theirs).to(base).scalar).toBeCloseTo(1, 5);
    }
  });
});

it.each([
  ['absolute zero', -273.15, -459.67],
  ['ice point', 0, 32],
  ['steam point', 100, 212],
])('degrees Fahrenheit at the %s', (_, celsius, fahrenheit) => {
  const units = { ...METRIC_UNITS, temperature: '°F' } as const;
  expect(toReader(celsius, 'temperature', units)).toBeCloseTo(fahrenheit, 10);
  expect(fromReader(fahrenheit, 'temperature', units)).toBeCloseTo(celsius, 10);
  expect(unit(celsius, 'degC').toNumber('degF')).toBeCloseTo(fahrenheit, 6);
});
