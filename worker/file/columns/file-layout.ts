import { unitFromText } from '../csv/column-names.ts';
import { keyFromLine } from '../csv/comment-keys.ts';
import { DELIMITERS, type Delimiter, splitRows } from '../csv/header-row.ts';
import { numberFromCell, secondsFromClock } from '../csv/numbers.ts';
import type { FileShape } from './column-mapping.ts';

/** Shape of a file and the position of its first row of figures. */
export interface FileLayout {
  readonly shape: FileShape;
  /** Number of that line, from 1. */
  readonly bodyLine: number;
  /** Offset of that line in the text. */
  readonly bodyStart: number;
  /** Comment keys above it. */
  readonly keys: readonly { readonly key: string; readonly value: string }[];
}

/** Lines examined. Loggers write up to a few dozen lines before the figures. */
const EXAMINED_LINES = 300;
const LONGEST_LINE = 10_000;
const LONGEST_NAME = 120;
export const MOST_COLUMNS = 300;
/** Least share of cells that are figures, in the rows of a table. */
const FIGURE_SHARE = 0.5;

interface Line {
  readonly text: string;
  readonly number: number;
  readonly start: number;
}

interface Row {
  readonly line: Line;
  readonly cells: readonly string[];
  /** Cells that are figures, clock times or placeholders for a missing figure. */
  readonly fitting: number;
  /** Cells that are figures or clock times. */
  readonly figures: number;
}

interface Candidate {
  readonly separator: Delimiter;
  readonly columns: number;
  readonly rows: readonly Row[];
  /** Index in `rows` of the first row of figures. */
  readonly first: number;
  /** Share of the cells from there on that are figures. */
  readonly share: number;
}

/**
 * Finds the table of figures in a text with `\n` line ends, with or without a header row and lines of text before it.
 * `separator`: only a table with this one. `undefined` when there is none.
 */
export function findLayout(text: string, separator?: Delimiter): FileLayout | undefined {
  const { lines, keys } = contentLines(text);
  const [best] = candidatesIn(lines, separator);
  if (!best) return undefined;
  const { line } = best.rows[best.first]!;
  const names = namesAbove(best);
  return {
    shape: { separator: best.separator, columns: best.columns, ...(names && { names }) },
    bodyLine: line.number,
    bodyStart: line.start,
    keys,
  };
}

/** Separators that make a table of this text, the most likely first. */
export const possibleSeparators = (text: string): Delimiter[] =>
  candidatesIn(contentLines(text).lines).map(({ separator }) => separator);

function candidatesIn(lines: readonly Line[], only?: Delimiter): Candidate[] {
  return (only === undefined ? DELIMITERS : [only])
    .map((separator) => tableOf(lines, separator))
    .filter((found) => found !== undefined)
    .sort((a, b) => Number(b.columns > 1) - Number(a.columns > 1) || b.share - a.share);
}

/** Lines that are neither empty nor comments, and the keys of the others. */
function contentLines(text: string): { lines: Line[]; keys: { key: string; value: string }[] } {
  const lines: Line[] = [];
  const keys: { key: string; value: string }[] = [];
  let start = 0;
  for (let number = 1; lines.length < EXAMINED_LINES && start < text.length; number++) {
    const newline = text.indexOf('\n', start);
    const end = newline < 0 ? text.length : newline;
    const content = text.slice(start, Math.min(end, start + LONGEST_LINE));
    const key = keyFromLine(content);
    if (key) keys.push(key);
    else if (content.trim() !== '') lines.push({ text: content, number, start });
    start = end + 1;
  }
  return { lines, keys };
}

const isFigure = (cell: string): boolean =>
  [numberFromCell(cell, '.'), numberFromCell(cell, ',')].some((n) => n !== undefined && !Number.isNaN(n)) ||
  secondsFromClock(cell) !== undefined;

const isMissing = (cell: string): boolean => Number.isNaN(numberFromCell(cell, '.'));

function rowOf(line: Line, separator: Delimiter): Row {
  const cells = splitRows(line.text, separator)[0] ?? [];
  const figures = cells.filter(isFigure).length;
  return { line, cells, figures, fitting: figures + cells.filter(isMissing).length };
}

const isComment = (line: Line): boolean => /^"?\s*(?:#|\/\/|%)/.test(line.text);

function tableOf(lines: readonly Line[], separator: Delimiter): Candidate | undefined {
  const rows = lines.map((line) => rowOf(line, separator));
  const numeric = rows.filter(({ line, figures }) => figures > 0 && !isComment(line));
  const columns = mostFrequent(numeric.map(({ cells }) => cells.length));
  if (columns === undefined || columns > MOST_COLUMNS) return undefined;
  // Without any separator, a file has one column; the tab stands for that.
  if (columns < 2 && separator !== '\t') return undefined;
  const usual = mostFrequent(
    numeric.filter(({ cells }) => cells.length === columns).map(({ fitting }) => fitting),
  );
  const isRow = (row: Row | undefined): boolean =>
    row !== undefined &&
    row.figures > 0 &&
    !isComment(row.line) &&
    row.cells.length === columns &&
    row.fitting >= (usual ?? 0);
  // A line of the logger's own may look like a row by chance, two in succession do not.
  const first = rows.findIndex((row, i) => isRow(row) && (isRow(rows[i + 1]) || i === rows.length - 1));
  if (first < 0) return undefined;
  const body = rows.slice(first).filter(({ line }) => !isComment(line));
  const cells = body.reduce((sum, row) => sum + row.cells.filter((cell) => cell.trim() !== '').length, 0);
  const figures = body.reduce((sum, row) => sum + (row.cells.length === columns ? row.figures : 0), 0);
  const share = cells === 0 ? 0 : figures / cells;
  return share < FIGURE_SHARE ? undefined : { separator, columns, rows, first, share };
}

/** Names in the row above the figures, with units from a row of their own between; `undefined` without a name. */
function namesAbove({ rows, first, columns, separator }: Candidate): string[] | undefined {
  const cellsAt = (i: number): string[] | undefined => {
    const row = rows[i];
    if (!row) return undefined;
    const plain = isComment(row.line)
      ? (splitRows(row.line.text.replace(/^"?[\s#/%]+/, ''), separator)[0] ?? [])
      : row.cells;
    const cells = plain.map((cell) => cell.trim().slice(0, LONGEST_NAME));
    while (cells.length > 1 && cells.at(-1) === '') cells.pop();
    // Where rows end with a separator, the header row may lack it.
    const isEnded = rows[first]?.cells.at(-1) === '';
    const fits = cells.length === columns || (isEnded && columns > 2 && cells.length === columns - 1);
    if (!fits || cells.some((cell) => cell !== '' && isFigure(cell))) return undefined;
    return [...cells, ...Array<string>(columns - cells.length).fill('')];
  };
  const isNext = rows[first]!.line.number - (rows[first - 1]?.line.number ?? 0) === 1;
  // A line of text beyond an empty one may have as many cells by chance.
  const below = isNext ? cellsAt(first - 1) : undefined;
  if (!below || below.every((cell) => cell === '')) return undefined;
  const above = below.every((cell) => cell === '' || isUnit(cell)) ? cellsAt(first - 2) : undefined;
  return above ? above.map((name, i) => [name, below[i]].filter(Boolean).join(' ')) : below;
}

const isUnit = (cell: string): boolean =>
  unitFromText(cell) !== undefined || /^\W*(?:m?v|m?a|volts?|counts?|raw|lsb|°?[cf]|rpm)\W*$/i.test(cell);

/** The most frequent number, the largest of equals. */
function mostFrequent(numbers: readonly number[]): number | undefined {
  const counts = new Map<number, number>();
  for (const n of numbers) counts.set(n, (counts.get(n) ?? 0) + 1);
  return [...counts].sort(([a, x], [b, y]) => y - x || b - a)[0]?.[0];
}
