import { keyFromLine } from './comment-keys.ts';
import { type Delimiter, splitRows } from './header-row.ts';
import { type DecimalMark, decimalMarkOf, numberFromCell, secondsFromClock } from './numbers.ts';
import { type FileProblem, refused } from './trace-file.ts';

/** Unreadable cells are dropped up to this share or this number. With more, the file is refused. */
const UNREADABLE_SHARE = 0.02;
const UNREADABLE_CELLS = 3;
/** Characters split into cells at a time, because cells take twenty times the memory of the parsed numbers. */
const BLOCK = 1 << 18;

/** One column as numbers, one for each line below the header row. */
export interface NumberColumn {
  /** `NaN` where there is no number. */
  readonly values: Float64Array;
  /** Whether the values are seconds of a wall clock, regardless of the unit in the header. */
  isClock: boolean;
  /** Number of non-empty cells. */
  filled: number;
  /** Number of cells that are neither numbers nor placeholders. */
  unreadable: number;
  firstUnreadable?: { readonly row: number; readonly cell: string };
}

/** The numeric content below the header row. */
export interface Table {
  /** Parsed columns by column index. */
  readonly columns: ReadonlyMap<number, NumberColumn>;
  /** 1 for each line that is a row, 0 for blank lines and comments. */
  readonly isRow: Uint8Array;
  /** Comment keys between the rows. */
  readonly keys: readonly { readonly key: string; readonly value: string }[];
}

/**
 * Parses the columns with the indices `times` and `pressures` from offset `start` on. It works in blocks, so that a long
 * file needs little more memory than its numbers.
 */
export function readTable(
  text: string,
  start: number,
  delimiter: Delimiter,
  times: readonly number[],
  pressures: readonly number[],
): Table {
  const lineCount = countLines(text, start);
  const mark = decimalMarkOf(sampleCells(text, start, delimiter, [...times, ...pressures]));
  const keys: { key: string; value: string }[] = [];
  const isRow = new Uint8Array(lineCount);
  const emptyColumn = (): NumberColumn => ({
    values: new Float64Array(lineCount).fill(Number.NaN),
    isClock: false,
    filled: 0,
    unreadable: 0,
  });
  const columns = new Map([...times, ...pressures].map((index) => [index, emptyColumn()]));

  let firstRow = 0;
  for (const block of blocksOf(text, start)) {
    const rows = splitRows(block, delimiter);
    for (const [i, row] of rows.entries()) {
      const [first = ''] = row;
      if (first.startsWith('#')) {
        const key = keyFromLine(row.join(delimiter));
        if (key) keys.push(key);
        continue;
      }
      isRow[firstRow + i] = row.length > 1 || first.trim() !== '' ? 1 : 0;
      for (const index of times) readCell(columns.get(index)!, firstRow + i, row[index] ?? '', mark, true);
      for (const index of pressures)
        readCell(columns.get(index)!, firstRow + i, row[index] ?? '', mark, false);
    }
    firstRow += countLines(block, 0);
  }
  return { columns, isRow, keys };
}

function readCell(column: NumberColumn, row: number, cell: string, mark: DecimalMark, isTime: boolean): void {
  if (cell === '') return;
  column.filled++;
  const clock = isTime && cell.includes(':') ? secondsFromClock(cell) : undefined;
  if (clock !== undefined) column.isClock = true;
  const value = clock ?? numberFromCell(cell, mark);
  if (value !== undefined) {
    column.values[row] = value;
    return;
  }
  column.unreadable++;
  column.firstUnreadable ??= { row, cell };
}

/** Problem of a column with too many unreadable cells; `undefined` when it is usable. `lineOf`: line number of a row. */
export function unreadableProblem(
  column: NumberColumn,
  what: 'time' | 'pressure',
  lineOf: (row: number) => number,
): FileProblem | undefined {
  const { filled, unreadable, firstUnreadable } = column;
  if (!firstUnreadable) return undefined;
  if (unreadable < filled && unreadable <= Math.max(UNREADABLE_CELLS, UNREADABLE_SHARE * filled))
    return undefined;
  const cell = firstUnreadable.cell.trim().slice(0, 30);
  return refused('bad-number', `The ${what} "${cell}" is not a number.`, lineOf(firstUnreadable.row)).problem;
}

/** Splits a text at line ends into pieces of at least `BLOCK` characters. */
function* blocksOf(text: string, start: number): Generator<string, void> {
  let at = start;
  while (at < text.length) {
    const newline = text.indexOf('\n', at + BLOCK);
    const end = newline < 0 ? text.length : newline + 1;
    yield text.slice(at, end);
    at = end;
  }
}

/** Number of lines from `start` on, including a last one without a line end. */
function countLines(text: string, start: number): number {
  let count = 0;
  for (let at = start; at < text.length; count++) {
    const newline = text.indexOf('\n', at);
    at = newline < 0 ? text.length : newline + 1;
  }
  return count;
}

/** Cells of up to 400 lines spread over the file, because the first ones may all be round zeros. */
function sampleCells(
  text: string,
  start: number,
  delimiter: Delimiter,
  indices: readonly number[],
): string[] {
  const cells: string[] = [];
  const stride = Math.max(1, Math.floor((text.length - start) / 400));
  let next = start;
  for (let at = start; at < text.length; ) {
    const newline = text.indexOf('\n', at);
    const end = newline < 0 ? text.length : newline;
    const [row = []] = splitRows(text.slice(at, end), delimiter);
    for (const index of indices) cells.push(row[index] ?? '');
    next = Math.max(next + stride, end);
    const following = text.indexOf('\n', next);
    at = newline < 0 || following < 0 ? text.length : following + 1;
  }
  return cells;
}
