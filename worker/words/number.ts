/** Numbers in the reader's locale. All figures on screens are formatted here. */

const formatters = new Map<string, Intl.NumberFormat>();

function formatter(locale: string, options: Intl.NumberFormatOptions): Intl.NumberFormat {
  const key = locale + JSON.stringify(options);
  let found = formatters.get(key);
  if (!found) {
    found = new Intl.NumberFormat(locale, options);
    formatters.set(key, found);
  }
  return found;
}

/** Shown in place of a missing figure. */
export const NO_FIGURE = '–';

/** Formats with a fixed number of decimals, so that columns align. `NO_FIGURE` for a missing or non-finite value. */
export function formatNumber(value: number | null | undefined, digits: number, locale: string): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return NO_FIGURE;
  // A value that rounds to zero is written 0, never -0.
  const rounded = Math.abs(value) < 0.5 * 10 ** -digits ? 0 : value;
  return formatter(locale, { minimumFractionDigits: digits, maximumFractionDigits: digits }).format(rounded);
}

/** Formats a share from 0 to 1 as per cent, with a narrow no-break space before the sign: `81 %`. */
export function formatPercent(share: number | null | undefined, locale: string, digits = 0): string {
  if (share === null || share === undefined) return NO_FIGURE;
  return `${formatNumber(share * 100, digits, locale)}\u202f%`;
}

/**
 * Parses a typed number with decimal point or comma. Spaces are ignored, and so are marks that can only be grouping.
 * `null` for an empty field, `undefined` when it is not a number.
 */
export function parseNumber(text: string): number | null | undefined {
  const compact = text.replace(/[\s\u00a0\u202f'’_]/g, '').replace(/\u2212/g, '-');
  if (compact === '') return null;
  const both = compact.includes('.') && compact.includes(',');
  const decimal = both && compact.lastIndexOf(',') > compact.lastIndexOf('.') ? ',' : '.';
  const plain = both
    ? compact.replaceAll(decimal === ',' ? '.' : ',', '').replace(',', '.')
    : compact.replace(',', '.');
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : undefined;
}

/** Formats a list such as `1, 3 and 4` in the reader's language. */
export function formatList(items: readonly string[], locale: string): string {
  return new Intl.ListFormat(locale, { style: 'long', type: 'conjunction' }).format(items);
}
