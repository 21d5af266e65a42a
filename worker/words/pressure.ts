/** Conversion between gauge kilopascals and the reader's unit. Screens convert nowhere else. */
import { type DisplayUnit, digitsFor, fromKpa, toKpa } from '../core/units.ts';
import { formatNumber, NO_FIGURE, parseNumber } from './number.ts';

/** Symbols written after a figure. */
const SYMBOL: Readonly<Record<DisplayUnit, string>> = {
  psi: 'psi',
  kPa: 'kPa',
  bar: 'bar',
  'kgf/cm2': 'kgf/cm²',
};

/** The symbol written after a figure in `unit`. */
export const unitSymbol = (unit: DisplayUnit): string => SYMBOL[unit];

/** Formats a pressure without its unit, with the digits that are meaningful for a cranking compression. */
export function pressureFigure(kpa: number | null | undefined, unit: DisplayUnit, locale: string): string {
  if (kpa === null || kpa === undefined) return NO_FIGURE;
  return formatNumber(fromKpa(kpa, unit), digitsFor(unit), locale);
}

/** Formats a small pressure, such as a plus-minus or an offset: one more digit, and never rounded to zero if above it. */
export function smallPressureFigure(
  kpa: number | null | undefined,
  unit: DisplayUnit,
  locale: string,
): string {
  if (kpa === null || kpa === undefined) return NO_FIGURE;
  const digits = digitsFor(unit, true);
  const smallest = 10 ** -digits;
  const value = fromKpa(kpa, unit);
  const shown = value > 0 && value < smallest ? smallest : value;
  return formatNumber(shown, digits, locale);
}

/**
 * Formats a plus-minus with at most two significant digits (GUM, JCGM 100:2008, 7.2.6), and at most one decimal more than
 * a pressure. Never zero if above it.
 */
export function plusMinusFigure(kpa: number | null | undefined, unit: DisplayUnit, locale: string): string {
  if (kpa === null || kpa === undefined) return NO_FIGURE;
  // Rounded first: 9.96 has two digits as 10.
  const rounded = Number(fromKpa(kpa, unit).toPrecision(2));
  const whole = rounded > 0 ? Math.floor(Math.log10(rounded)) : 0;
  const most = digitsFor(unit, true);
  const digits = Math.min(most, Math.max(0, 1 - whole));
  return digits === most ? smallPressureFigure(kpa, unit, locale) : formatNumber(rounded, digits, locale);
}

/** Formats as `181 ± 0.4 psi`, or `181 psi` without a plus-minus. */
export function pressureText(
  kpa: number | null | undefined,
  unit: DisplayUnit,
  locale: string,
  plusMinusKpa?: number | null,
): string {
  if (kpa === null || kpa === undefined) return NO_FIGURE;
  const spread =
    plusMinusKpa === null || plusMinusKpa === undefined
      ? ''
      : `\u00a0±\u00a0${plusMinusFigure(plusMinusKpa, unit, locale)}`;
  return `${pressureFigure(kpa, unit, locale)}${spread}\u00a0${unitSymbol(unit)}`;
}

/** Formats a difference with its sign: `+12 psi`, `−4 psi`. */
export function pressureDifference(
  kpa: number | null | undefined,
  unit: DisplayUnit,
  locale: string,
): string {
  if (kpa === null || kpa === undefined) return NO_FIGURE;
  return `${differenceFigure(kpa, unit, locale)}\u00a0${unitSymbol(unit)}`;
}

/** The same without the unit. */
export function differenceFigure(kpa: number | null | undefined, unit: DisplayUnit, locale: string): string {
  if (kpa === null || kpa === undefined) return NO_FIGURE;
  const figure = pressureFigure(Math.abs(kpa), unit, locale);
  const isZero = parseNumber(figure) === 0;
  return `${isZero ? '' : kpa > 0 ? '+' : '−'}${figure}`;
}

/** Parses a pressure typed in `unit`, as gauge kPa. `null` for an empty field, `undefined` when it is not a number. */
export function parsePressure(text: string, unit: DisplayUnit): number | null | undefined {
  const value = parseNumber(text);
  return typeof value === 'number' ? toKpa(value, unit) : value;
}

/** Initial text of an input field for a pressure: digits and point, without grouping or trailing zeros. */
export function smallPressureInput(kpa: number, unit: DisplayUnit): string {
  return String(Number(fromKpa(kpa, unit).toFixed(digitsFor(unit, true))));
}
