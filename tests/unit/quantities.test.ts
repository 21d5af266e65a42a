import { describe, expect, test } from 'vitest';
import { METRIC_UNITS, US_UNITS } from '../../worker/core/quantities.ts';
import { fill } from '../../worker/words/fill.ts';
import { isInRange, parseQuantity, quantityInput, quantityText } from '../../worker/words/quantity.ts';

const plain = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');

describe('quantities for the reader', () => {
  test.each([
    ['barometer', 101.325, '1,013 hPa', '29.92 inHg'],
    ['altitude', 1500, '1,500 m', '4,921 ft'],
    ['temperature', -40, '−40 °C', '−40 °F'],
    ['temperature', 90, '90 °C', '194 °F'],
    ['distance', 160_934.4, '160,934 km', '100,000 mi'],
    ['length', 101.6, '101.6 mm', '4.000 in'],
    ['gap', 0.8, '0.80 mm', '0.031 in'],
  ] as const)('%s %d', (quantity, stored, metric, american) => {
    expect(plain(quantityText(stored, quantity, METRIC_UNITS, 'en'))).toBe(metric);
    expect(plain(quantityText(stored, quantity, US_UNITS, 'en'))).toBe(american);
  });

  test('a missing value is a dash without a unit', () => {
    expect(quantityText(undefined, 'distance', US_UNITS, 'en')).toBe('–');
  });

  test('a sentence carries the unit of its reader, a range only once', () => {
    const reader = { unit: 'psi', units: US_UNITS, locale: 'en', language: 'en' } as const;
    expect(plain(fill('At {km:distance}, {air:barometer}.', { km: 16.09344, air: 101.325 }, reader))).toBe(
      'At 10 mi, 29.92 inHg.',
    );
    expect(plain(fill('{mm:gap}', { mm: [0.8, 1] }, reader))).toBe('0.031–0.039 in');
    const { units, ...metric } = reader;
    expect(plain(fill('{km:distance}', { km: 10 }, metric))).toBe('10 km');
  });

  test('a typed figure may have a decimal comma or point', () => {
    expect(parseQuantity('29,92', 'barometer', US_UNITS)).toBeCloseTo(101.3208, 3);
    expect(parseQuantity('1.013,25', 'barometer', METRIC_UNITS)).toBeCloseTo(101.325, 9);
    expect(parseQuantity('-4', 'temperature', US_UNITS)).toBeCloseTo(-20, 9);
    expect(parseQuantity(' ', 'altitude', US_UNITS)).toBeNull();
    expect(parseQuantity('high', 'altitude', US_UNITS)).toBeUndefined();
  });

  test.each([
    ['88,000', 'distance', 88_000],
    ['1.234.567', 'distance', 1_234_567],
    ['1,500', 'altitude', 1500],
    ['1,013', 'barometer', 101.3],
    // Not a group of thousands.
    ['0,500', 'distance', 0.5],
    ['12,5', 'distance', 12.5],
    // A length may have three decimals.
    ['86,005', 'length', 86.005],
  ] as const)('%s as %s may have its thousands grouped', (text, quantity, stored) => {
    expect(parseQuantity(text, quantity, METRIC_UNITS)).toBeCloseTo(stored, 9);
  });

  test('an unchanged field keeps the precision of the stored value', () => {
    const shown = quantityInput(120_345, 'distance', US_UNITS);
    expect(shown).toBe('74778.9');
    expect(parseQuantity(shown, 'distance', US_UNITS, 120_345)).toBe(120_345);
    expect(parseQuantity('74779', 'distance', US_UNITS, 120_345)).toBeCloseTo(120_345.1, 1);
  });

  test('a limit counts as the reader sees it', () => {
    const altitudes = [-430, 6000] as const;
    const isFine = (feet: string) =>
      isInRange(parseQuantity(feet, 'altitude', US_UNITS) ?? 0, altitudes, 'altitude', US_UNITS);
    // -430 m is -1410.8 ft, shown as -1411; 6000 m is 19 685.04 ft.
    expect(['-1411', '19685'].map(isFine)).toEqual([true, true]);
    expect(['-1412', '19686'].map(isFine)).toEqual([false, false]);
  });
});
