/** Formats and parses barometer, altitude, temperature, distance and length in the reader's units. */
import {
  fromReader,
  type Quantity,
  type QuantityUnits,
  scaleOf,
  symbolOf,
  toReader,
} from '../core/quantities.ts';
import { formatNumber, NO_FIGURE, parseNumber } from './number.ts';

/** Thousands with a point or comma between them. */
const GROUPED = /^[+-]?[1-9]\d{0,2}(?:,\d{3})+$|^[+-]?[1-9]\d{0,2}(?:\.\d{3})+$/;

/** Formats a stored value without its unit, with the digits that are meaningful. */
export function quantityFigure(
  stored: number | null | undefined,
  quantity: Quantity,
  units: QuantityUnits,
  locale: string,
): string {
  if (stored === null || stored === undefined) return NO_FIGURE;
  const figure = formatNumber(toReader(stored, quantity, units), scaleOf(quantity, units).digits, locale);
  return figure.replace('-', '−');
}

/** Formats a stored value with its unit: `29.92 inHg`. */
export function quantityText(
  stored: number | null | undefined,
  quantity: Quantity,
  units: QuantityUnits,
  locale: string,
): string {
  const figure = quantityFigure(stored, quantity, units, locale);
  return figure === NO_FIGURE ? figure : `${figure}\u00a0${symbolOf(quantity, units)}`;
}

/**
 * Text of an input field for a stored value: digits and point, without grouping or trailing zeros. A figure that was
 * typed in the same unit is returned as typed.
 */
export function quantityInput(stored: number | undefined, quantity: Quantity, units: QuantityUnits): string {
  if (stored === undefined) return '';
  return String(Number(toReader(stored, quantity, units).toFixed(scaleOf(quantity, units).typedDigits)));
}

/**
 * Parses a figure typed in the reader's unit. `null` for an empty field, `undefined` when it is not a number. `before`:
 * the stored value; returned as it is while the field shows it, because the field rounds it. In a unit without three
 * decimals, `88,000` and `88.000` are thousands.
 */
export function parseQuantity(
  text: string,
  quantity: Quantity,
  units: QuantityUnits,
  before?: number,
): number | null | undefined {
  if (before !== undefined && text === quantityInput(before, quantity, units)) return before;
  const isGrouped = scaleOf(quantity, units).typedDigits < 3 && GROUPED.test(text.trim());
  const value = parseNumber(isGrouped ? text.replace(/[.,]/g, '') : text);
  return typeof value === 'number' ? fromReader(value, quantity, units) : value;
}

/**
 * Whether a stored value lies in the range. Both ends count as the reader sees them: rounded in the reader's unit.
 * `quantity`: `undefined` for a figure in a fixed unit.
 */
export function isInRange(
  stored: number,
  [low, high]: readonly [number, number],
  quantity: Quantity | undefined,
  units: QuantityUnits,
): boolean {
  if (quantity === undefined) return stored >= low && stored <= high;
  const { digits } = scaleOf(quantity, units);
  const shown = (value: number): number => Number(toReader(value, quantity, units).toFixed(digits));
  const value = toReader(stored, quantity, units);
  return (
    value >= Math.min(shown(low), toReader(low, quantity, units)) &&
    value <= Math.max(shown(high), toReader(high, quantity, units))
  );
}
