import Papa from 'papaparse';
import { type Column, columnFromHeader } from './column-names.ts';
import { keyFromLine } from './comment-keys.ts';
import { numberFromCell } from './numbers.ts';
import type { FileProblem } from './trace-file.ts';

/** Separator of cells; a space means any run of spaces. */
export type Delimiter = '\t' | ';' | ',' | '|' | ' ';

/** The header row and the position of the first row of samples. */
export interface HeaderRow {
  readonly columns: readonly Column[];
  readonly delimiter: Delimiter;
  /** Number of the first line below the header row, from 1. */
  readonly bodyLine: number;
  /** Offset of that line in the text. */
  readonly bodyStart: number;
  /** Comment keys above the header row. */
  readonly keys: { readonly key: string; readonly value: string }[];
}

/** Lines searched for the header row. Loggers write up to a few dozen lines above it. */
const PREAMBLE_LINES = 200;
/** Largest number of columns. A line with more is not a header row. */
const MOST_COLUMNS = 300;
export const DELIMITERS: readonly Delimiter[] = ['\t', ';', '|', ',', ' '];

/** Splits a text into rows of cells. */
export function splitRows(text: string, delimiter: Delimiter): string[][] {
  const source = delimiter === ' ' ? text.replace(/ +/g, ' ').replace(/^ | $/gm, '') : text;
  return Papa.parse(source, { delimiter, newline: '\n' }).data;
}

/**
 * Finds the first line that names a time and a pressure, or only a pressure when the comments state a sample rate. `text`
 * has `\n` line ends and no byte order mark.
 */
export function findHeaderRow(text: string): HeaderRow | { readonly problem: FileProblem } {
  const keys: { key: string; value: string }[] = [];
  let commented: Pick<HeaderRow, 'columns' | 'delimiter'> | undefined;
  let nearly: { columns: readonly Column[]; delimiter: Delimiter; line: number; end: number } | undefined;
  let start = 0;
  let others = 0;
  let firstNumbers: number | undefined;
  for (let line = 1; others < PREAMBLE_LINES && start < text.length; line++) {
    const newline = text.indexOf('\n', start);
    const end = newline < 0 ? text.length : newline;
    const content = text.slice(start, Math.min(end, start + 10_000)).trim();
    const next = end + 1;

    const isComment = /^"?\s*(?:#|\/\/|%)/.test(content);
    const key = content === '' ? undefined : keyFromLine(content);
    // Known keys do not count towards the limit, because a trace with many gaps has a line for each.
    if (!(key && isComment)) others++;
    if (key && (isComment || !isHeader(content))) {
      keys.push(key);
    } else if (isComment) {
      // Some tools comment out the header row.
      commented = splitHeader(content.replace(/^"?[\s#/%]+/, '').replace(/"[\s,;]*$/, '')) ?? commented;
    } else if (content !== '') {
      const found = splitHeader(content);
      if (found) return { ...found, keys, bodyLine: line + 1, bodyStart: Math.min(next, text.length) };
      if (isNumeric(content)) {
        if (commented) return { ...commented, keys, bodyLine: line, bodyStart: start };
        firstNumbers = line;
        break;
      }
      nearly ??= nearlyHeader(content, line, next);
    }
    start = next;
  }

  const times = keys.some(({ key }) => /rate|interval/.test(key));
  if (nearly && times && nearly.columns.some((column) => column.kind === 'pressure')) {
    const { columns, delimiter, line, end } = nearly;
    return { columns, delimiter, keys, bodyLine: line + 1, bodyStart: Math.min(end, text.length) };
  }
  if (!nearly) {
    const detail = 'There is no header row such as time_s,pressure_kpa.';
    return { problem: { code: 'no-columns', line: firstNumbers, detail } };
  }
  return nearly.columns.some((column) => column.kind === 'time')
    ? {
        problem: {
          code: 'no-pressure',
          line: nearly.line,
          detail: 'No column is a pressure; call it pressure_kpa, pressure_psi, pressure_bar or the like.',
        },
      }
    : {
        problem: {
          code: 'no-time',
          line: nearly.line,
          detail: 'No column is a time; call it time_s or time_ms.',
        },
      };
}

const has = (columns: readonly Column[], kind: Column['kind']) =>
  columns.some((column) => column.kind === kind);

function columnsOf(content: string, delimiter: Delimiter): readonly Column[] {
  const cells = splitRows(content, delimiter)[0] ?? [];
  return cells.length > MOST_COLUMNS ? [] : cells.map(columnFromHeader);
}

function splitHeader(content: string): Pick<HeaderRow, 'columns' | 'delimiter'> | undefined {
  for (const delimiter of DELIMITERS) {
    if (!content.includes(delimiter)) continue;
    const columns = columnsOf(content, delimiter);
    if (has(columns, 'time') && has(columns, 'pressure')) return { columns, delimiter };
  }
  return undefined;
}

const isHeader = (content: string): boolean => splitHeader(content) !== undefined;

/** Recognises a header row with a time or a pressure only. */
function nearlyHeader(content: string, line: number, end: number) {
  for (const delimiter of DELIMITERS) {
    const columns = columnsOf(content, delimiter);
    if ((columns.length > 1 || !/\s/.test(content)) && (has(columns, 'time') || has(columns, 'pressure'))) {
      return { columns, delimiter, line, end };
    }
  }
  return undefined;
}

/** Whether a line is a row of samples: numbers only, at least two. */
function isNumeric(content: string): boolean {
  return DELIMITERS.some((delimiter) => {
    const cells = splitRows(content, delimiter)[0] ?? [];
    return (
      cells.length > 1 &&
      cells.every(
        (cell) => numberFromCell(cell, '.') !== undefined || numberFromCell(cell, ',') !== undefined,
      )
    );
  });
}
