import { describe, expect, test } from 'vitest';
import { dateTime, day, sinceWords } from '../../src/format/date.ts';
import { formatNumber, formatPercent, NO_FIGURE, parseNumber } from '../../worker/words/number.ts';
import {
  parsePressure,
  plusMinusFigure,
  pressureDifference,
  pressureText,
  smallPressureFigure,
} from '../../worker/words/pressure.ts';

const plain = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');

describe('pressures for the reader', () => {
  test.each([
    ['psi', '181 ± 0.4 psi'],
    ['kPa', '1,248 ± 3.1 kPa'],
    ['bar', '12.48 ± 0.031 bar'],
    ['kgf/cm2', '12.73 ± 0.032 kgf/cm²'],
  ] as const)('1248.1 ± 3.1 kPa in %s', (unit, written) => {
    expect(plain(pressureText(1248.1, unit, 'en', 3.1))).toBe(written);
  });

  // 3 % of 6.55 bar, the accuracy of a dial gauge.
  test.each([
    ['bar', '6.55 ± 0.20 bar'],
    ['kPa', '655 ± 20 kPa'],
    ['psi', '95 ± 2.8 psi'],
    ['kgf/cm2', '6.68 ± 0.20 kgf/cm²'],
  ] as const)('a share of the reading has two digits at most in %s', (unit, written) => {
    expect(plain(pressureText(655, unit, 'en', 655 * 0.03))).toBe(written);
  });

  test.each([
    [9.94, '9.9'],
    [9.96, '10'],
    [123, '120'],
    [0.01, '0.1'],
    [0, '0.0'],
  ])('a plus-minus of %d kPa is %s', (kpa, written) => {
    expect(plusMinusFigure(kpa, 'kPa', 'en')).toBe(written);
  });

  test('a German reader gets a decimal comma', () => {
    expect(plain(pressureText(1248.1, 'bar', 'de', 3.1))).toBe('12,48 ± 0,031 bar');
  });

  test('without a plus-minus there is none; without a figure a dash', () => {
    expect(plain(pressureText(1000, 'kPa', 'en', null))).toBe('1,000 kPa');
    expect(pressureText(null, 'psi', 'en', 3)).toBe(NO_FIGURE);
  });

  test('a plus-minus is never written as 0', () => {
    expect(smallPressureFigure(0.01, 'psi', 'en')).toBe('0.1');
    expect(smallPressureFigure(0, 'psi', 'en')).toBe('0.0');
  });

  test('differences have a sign, except zero', () => {
    expect(plain(pressureDifference(50, 'kPa', 'en'))).toBe('+50 kPa');
    expect(plain(pressureDifference(-50, 'kPa', 'en'))).toBe('−50 kPa');
    expect(plain(pressureDifference(-0.2, 'kPa', 'en'))).toBe('0 kPa');
  });

  test('a figure typed in a unit is converted to kPa', () => {
    expect(parsePressure('100', 'psi')).toBeCloseTo(689.4757, 3);
    expect(parsePressure('12,5', 'bar')).toBeCloseTo(1250, 9);
    expect(parsePressure('  ', 'bar')).toBeNull();
    expect(parsePressure('twelve', 'bar')).toBeUndefined();
  });
});

describe('numbers', () => {
  test.each([
    ['1 234,5', 1234.5],
    ['1,234.5', 1234.5],
    ['1.234,5', 1234.5],
    ['−3', -3],
    ['.5', 0.5],
    ['12.', 12],
  ])('%s is read as meant', (text, value) => {
    expect(parseNumber(text)).toBe(value);
  });

  test.each(['1.2.3', '--4', '1e', 'abc', '5 psi'])('%s is no number', (text) => {
    expect(parseNumber(text)).toBeUndefined();
  });

  test('never writes minus zero', () => {
    expect(formatNumber(-0.04, 1, 'en')).toBe('0.0');
  });

  test('a missing or infinite figure is a dash', () => {
    expect(formatNumber(Number.NaN, 0, 'en')).toBe(NO_FIGURE);
    expect(formatPercent(null, 'en')).toBe(NO_FIGURE);
  });
});

describe('how long ago', () => {
  const now = new Date('2026-11-25T08:00:00');
  test.each([
    ['2026-11-25T01:00:00', 'today'],
    ['2026-11-24T23:59:00', 'yesterday'],
    ['2026-11-20T12:00:00', '5 days ago'],
    ['2026-11-04T12:00:00', '3 weeks ago'],
    ['2026-06-25T12:00:00', '5 months ago'],
    ['2024-11-20T12:00:00', '2 years ago'],
  ])('%s', (iso, words) => {
    expect(sinceWords(iso, now, 'en')).toBe(words.replaceAll(' ', '\u00a0'));
  });
});

describe('a date stays on one line', () => {
  const at = '2026-11-25T08:03:00';
  test.each([
    ['en-GB', ['25 Nov 2026, ', '08:03']],
    ['en-US', ['Nov 25, 2026, ', '8:03 AM']],
    ['de', ['25.11.2026, ', '08:03']],
  ])('in %s it can break only before the time', (locale, pieces) => {
    const words = dateTime(at, locale);
    expect(plain(words)).toBe(pieces.join(''));
    expect(words.split(' ').map((piece, i) => plain(piece) + (i === 0 ? ' ' : ''))).toEqual(pieces);
    expect(day(at, locale)).not.toContain(' ');
  });
});
