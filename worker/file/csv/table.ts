import { keyFromLine } from './comment-keys.ts';
import { type Delimiter, splitRows } from './header-row.ts';
import { type DecimalMark, decimalMarkOf, numberFromCell, secondsFromClock } from './numbers.ts';
import { type FileProblem, refused } from './trace-file.ts';

/** Cells that cannot be read are left out, up to this share of all; more means that the file is something else. */
const UNREADABLE_SHARE = 0.02;
const UNREADABLE_CELLS = 3;
/** Characters split into cells at a time: cells take twenty times the room of what becomes of them. */
const BLOCK = 1 << 18;

/** One column of a file as numbers, one for each line below the header row. */
export interface NumberColumn {
  /** `NaN` where there is none. */
  readonly values: Float64Array;
  /** The values are seconds of a clock, whatever unit the column names. */
  isClock: boolean;
  /** Cells that say something. */
  filled: number;
  unreadable: number;
  firstUnreadable?: { readonly row: number; readonly cell: string };
}

export interface Table {
  readonly columns: ReadonlyMap<number, NumberColumn>;
  /** 1 for each line that is a row, 0 for blank lines and comments. */
  readonly isRow: Uint8Array;
  /** What comments between the rows say. */
  readonly keys: readonly { readonly key: string; readonly value: string }[];
}

/** Reads the named columns of everything from `start` on, in blocks, so that a long file takes little more room than its numbers. */
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

/** Whether too many cells of a column are something else than numbers. */
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

/** Cuts a text at line ends into pieces of a `BLOCK` or a little more. */
function* blocksOf(text: string, start: number): Generator<string, void> {
  let at = start;
  while (at < text.length) {
    const newline = text.indexOf('\n', at + BLOCK);
    const end = newline < 0 ? text.length : newline + 1;
    yield text.slice(at, end);
    at = end;
  }
}

/** Lines that hold something, a last one without a line end among them. */
function countLines(text: string, start: number): number {
  let count = 0;
  for (let at = start; at < text.length; count++) {
    const newline = text.indexOf('\n', at);
    at = newline < 0 ? text.length : newline + 1;
  }
  return count;
}

/** Cells of a few hundred lines from all over the file: the first ones may all be round zeros. */
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
