/** Decimal mark of a file. */
export type DecimalMark = '.' | ',';

/** Placeholders that loggers write for a missing figure. */
const MISSING =
  /^(?:|-+|\*+|\?+|nan|null|none|nil|n\/?a|#n\/?a|[+-]?inf(?:inity)?|ol|over(?:load|range)?|err(?:or)?|invalid|lost)$/i;

const THOUSANDS = {
  '.': /^[+-]?\d{1,3}(?:,\d{3})+(?:\.\d*)?$/,
  ',': /^[+-]?\d{1,3}(?:\.\d{3})+(?:,\d*)?$/,
};

/**
 * Determines the decimal mark from a sample of cells. A comma is a decimal mark, unless points occur and every comma
 * precedes three digits, as a thousands separator does.
 */
export function decimalMarkOf(cells: readonly string[]): DecimalMark {
  let commas = 0;
  let points = 0;
  for (const cell of cells) {
    const comma = cell.lastIndexOf(',');
    const point = cell.lastIndexOf('.');
    if (comma > point) commas++;
    else if (point >= 0) points++;
  }
  if (commas === 0) return '.';
  const thousands =
    points > 0 && cells.every((cell) => !cell.includes(',') || THOUSANDS['.'].test(cell.trim()));
  return thousands ? '.' : ',';
}

/** Parses one cell as a number. `NaN`: empty or a placeholder for a missing figure. `undefined`: not a number. */
export function numberFromCell(cell: string, mark: DecimalMark): number | undefined {
  // Fast path for nearly all cells: long files have millions.
  const plain = mark === ',' && !cell.includes('.') ? +cell.replace(',', '.') : +cell;
  if (!Number.isNaN(plain) && (plain !== 0 || cell.trim() !== '')) {
    return Number.isFinite(plain) ? plain : Number.NaN;
  }
  const text = cell.trim().replace(/^'/, '').replace(/^[−–]/, '-');
  if (text === '') return Number.NaN;
  const ungrouped = THOUSANDS[mark].test(text) ? text.replaceAll(mark === '.' ? ',' : '.', '') : text;
  const value = +ungrouped.replace(',', '.');
  if (Number.isFinite(value)) return value;
  return MISSING.test(text) ? Number.NaN : undefined;
}

/** The date is optional. Only one that starts with the year counts: days and months in other orders are ambiguous. */
const CLOCK =
  /^(?:(?:(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})|\d{1,2}[-/.]\d{1,2}[-/.]\d{2,4})[T ,]+)?(\d{1,2}):(\d{2}):(\d{2})(?:[.,:](\d{1,9}))?(?:\s*([ap])\.?m\.?|Z|[+-]\d{2}:?\d{2})?$/i;

/**
 * Seconds of a wall-clock stamp such as `14:03:22.125` or `02/05/2026 2:03:22.125 PM` (since midnight), or
 * `2026-05-02T14:03:22,125Z` (since 1970). `undefined` when the cell is not a stamp.
 */
export function secondsFromClock(cell: string): number | undefined {
  const match = CLOCK.exec(cell.trim());
  if (!match) return undefined;
  const [, year, month, day, hour, minute, second, fraction, half] = match;
  const date = year === undefined ? 0 : Date.UTC(Number(year), Number(month) - 1, Number(day)) / 1000;
  const hours = half === undefined ? Number(hour) : (Number(hour) % 12) + (/p/i.test(half) ? 12 : 0);
  const ofDay = hours * 3600 + Number(minute) * 60 + Number(second);
  return date + ofDay + (fraction === undefined ? 0 : Number(`0.${fraction}`));
}
