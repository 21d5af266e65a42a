import { columnFromHeader } from '../csv/column-names.ts';
import { type Delimiter, splitRows } from '../csv/header-row.ts';
import { readTable } from '../csv/table.ts';
import { guessSecondsPer } from '../csv/time-column.ts';
import { plainTextOf } from '../csv/trace-csv.ts';
import type { FileProblem } from '../csv/trace-file.ts';
import type { FileShape, TimeUnit } from './column-mapping.ts';
import { type ColumnNature, looksLikePressure, looksLikeTime, natureOf } from './column-nature.ts';
import { findLayout, possibleSeparators } from './file-layout.ts';

export interface ColumnPreview {
  /** From 1. */
  readonly column: number;
  /** From the header row; empty without one. */
  readonly name: string;
  /** One figure a row; `NaN` where there is none. */
  readonly values: Float64Array;
  /** The values are seconds of a wall clock. */
  readonly isClock: boolean;
  readonly nature: ColumnNature;
}

/** The first part of a file, to choose the meaning of its columns. */
export interface FilePreview {
  readonly shape: FileShape;
  /** Number of the first line with figures, from 1. */
  readonly bodyLine: number;
  /** Cells of the first rows. */
  readonly rows: readonly (readonly string[])[];
  readonly columns: readonly ColumnPreview[];
  /** Separators that make a table of this file, the most likely first. */
  readonly separators: readonly Delimiter[];
}

/** Characters that are read: minutes of cranking, within a moment on a phone. */
const PART = 1_000_000;
const SHOWN_ROWS = 5;

/** Reads the first part of a text. `separator`: instead of the most likely one. Never throws. */
export function previewFile(
  text: string,
  separator?: Delimiter,
): FilePreview | { readonly problem: FileProblem } {
  const plain = plainTextOf(text);
  if (typeof plain !== 'string') return { problem: plain.problem };
  const layout = findLayout(plain, separator);
  if (!layout) {
    const detail = 'No lines of figures were found. A recording has a row of figures for each sample.';
    return { problem: { code: 'no-rows', detail } };
  }
  const { shape, bodyStart, bodyLine } = layout;
  const cut = plain.length > bodyStart + PART ? plain.lastIndexOf('\n', bodyStart + PART) : plain.length;
  const part = plain.slice(0, Math.max(cut, bodyStart + 1));
  const indices = Array.from({ length: shape.columns }, (_, i) => i);
  const table = readTable(part, bodyStart, shape.separator, indices, []);
  return {
    shape,
    bodyLine,
    rows: splitRows(firstLines(part, bodyStart), shape.separator).slice(0, SHOWN_ROWS),
    columns: indices.map((index) => {
      const { values, isClock } = table.columns.get(index)!;
      const rows = values.filter((_, row) => table.isRow[row] === 1);
      return {
        column: index + 1,
        name: shape.names?.[index] ?? '',
        values: rows,
        isClock,
        nature: natureOf(rows),
      };
    }),
    separators: possibleSeparators(plain),
  };
}

function firstLines(text: string, start: number): string {
  let end = start;
  for (let line = 0; line < SHOWN_ROWS && end >= 0; line++) end = text.indexOf('\n', end + 1);
  return text.slice(start, end < 0 ? text.length : end);
}

/** What a column most likely holds. */
export type ColumnMeaning = 'time' | 'pressure' | 'other';

/**
 * Guesses the meaning of each column, in their order: by name, else by its figures. At most one is the time. A row number
 * is a time only by name.
 */
export function guessMeanings(columns: readonly ColumnPreview[]): ColumnMeaning[] {
  const named = columns.map(({ name }) => columnFromHeader(name).kind);
  const isTime = (i: number) => columns[i]!.isClock || looksLikeTime(columns[i]!.nature);
  const time = [
    columns.findIndex((_, i) => named[i] === 'time' && isTime(i)),
    columns.findIndex(({ isClock }) => isClock),
    columns.findIndex((one, i) => isTime(i) && !one.nature.isRowNumber),
  ].find((i) => i >= 0);
  const isNamed = columns.some((_, i) => i !== time && named[i] === 'pressure');
  return columns.map((one, i) =>
    i === time
      ? 'time'
      : (isNamed ? named[i] === 'pressure' && one.nature.count > 0 : looksLikePressure(one.nature))
        ? 'pressure'
        : 'other',
  );
}

/** The unit of a time column: by clock marks, its name, else the size of its steps. */
export function guessTimeUnit({ name, values, isClock }: ColumnPreview): TimeUnit {
  if (isClock) return 'date-time';
  const column = columnFromHeader(name);
  const stamps = values.filter((value) => !Number.isNaN(value));
  const perUnit = (column.kind === 'time' ? column.perUnit : undefined) ?? guessSecondsPer(stamps);
  return perUnit === 1 ? 's' : perUnit === 1e-3 ? 'ms' : 'us';
}

/** What the figures of a sensor's column are. `undefined`: no telling. */
export type Signal = 'volts' | 'milliamps' | 'counts';

/** Guesses the signal of a sensor from the name or the range of its column. */
export function guessSignal({ name, nature }: ColumnPreview): Signal | undefined {
  const unit = /(?:^|[^a-z])(m?v|volts?|m?a|milliamps?|counts?|raw|adc)\W*$/i.exec(name)?.[1]?.toLowerCase();
  if (unit === 'v' || unit?.startsWith('volt')) return 'volts';
  if (unit === 'ma' || unit?.startsWith('milliamp')) return 'milliamps';
  if (unit && /counts?|raw|adc/.test(unit)) return 'counts';
  if (unit) return undefined;
  const { low, high, isWhole } = nature;
  if (isWhole) return high > 255 && high < 2 ** 24 && low >= 0 ? 'counts' : undefined;
  if (low > 0.2 && high < 5.2) return 'volts';
  return low > 3.5 && low < 5 && high < 21 ? 'milliamps' : undefined;
}
