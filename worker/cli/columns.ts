import { type DisplayUnit, digitsFor, fromKpa } from '../core/units.ts';

/** Formats kPa in `unit`; `-` for `null`. `small`: with a digit more. */
export const figureIn =
  (unit: DisplayUnit) =>
  (kpa: number | null, small = false): string =>
    kpa === null ? '-' : fromKpa(kpa, unit).toFixed(digitsFor(unit, small));

/** Aligns cells in columns two spaces apart. `sides`: `l` or `r` for each column; `r` beyond its end. */
export function columns(rows: readonly (readonly string[])[], sides: string): string {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((row) => row[i]!.length)));
  const line = (row: readonly string[]) =>
    row.map((cell, i) => (sides[i] === 'l' ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!))).join('  ');
  return rows.map((row) => line(row).trimEnd()).join('\n');
}
