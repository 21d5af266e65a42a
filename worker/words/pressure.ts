/** Pressures for the reader: gauge kilopascals in, the chosen unit out. The only place where screens convert. */
import { type DisplayUnit, digitsFor, fromKpa, toKpa } from '../core/units.ts';
import { formatNumber, NO_FIGURE, parseNumber } from './number.ts';

/** How each unit is written beside a figure. */
const SYMBOL: Readonly<Record<DisplayUnit, string>> = {
  psi: 'psi',
  kPa: 'kPa',
  bar: 'bar',
  'kgf/cm2': 'kgf/cm²',
};

export const unitSymbol = (unit: DisplayUnit): string => SYMBOL[unit];

/** The figure alone, to the digits that a cranking compression is worth in that unit. */
export function pressureFigure(kpa: number | null | undefined, unit: DisplayUnit, locale: string): string {
  if (kpa === null || kpa === undefined) return NO_FIGURE;
  return formatNumber(fromKpa(kpa, unit), digitsFor(unit), locale);
}

/** A small pressure such as a plus-minus or an offset: one digit more, and never rounded down to nothing. */
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

/** `181 ± 0.4 psi`, or `181 psi` when the plus-minus is not known. */
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
      : `\u00a0±\u00a0${smallPressureFigure(plusMinusKpa, unit, locale)}`;
  return `${pressureFigure(kpa, unit, locale)}${spread}\u00a0${unitSymbol(unit)}`;
}

/** A difference with its sign always shown: `+12 psi`, `−4 psi`. */
export function pressureDifference(
  kpa: number | null | undefined,
  unit: DisplayUnit,
  locale: string,
): string {
  if (kpa === null || kpa === undefined) return NO_FIGURE;
  const figure = pressureFigure(Math.abs(kpa), unit, locale);
  const isZero = parseNumber(figure) === 0;
  return `${isZero ? '' : kpa > 0 ? '+' : '−'}${figure}\u00a0${unitSymbol(unit)}`;
}

/** What a person typed in the chosen unit, as gauge kPa. `null` for an empty field, `undefined` for no number. */
export function parsePressure(text: string, unit: DisplayUnit): number | null | undefined {
  const value = parseNumber(text);
  return typeof value === 'number' ? toKpa(value, unit) : value;
}

/** A pressure as the start of what a person edits: plain digits and point, no grouping, no trailing noughts. */
export function smallPressureInput(kpa: number, unit: DisplayUnit): string {
  return String(Number(fromKpa(kpa, unit).toFixed(digitsFor(unit, true))));
}
