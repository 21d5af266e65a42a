import { type Column, unitFromText } from './csv-columns.ts';
import type { CsvHeader } from './csv-header.ts';
import { type DecimalMark, decimalMarkOf, numberFromCell, secondsFromClock } from './csv-numbers.ts';
import { guessSecondsPer, orderByTime, type TimeAxis } from './csv-times.ts';
import { hintsFromName } from './name-hints.ts';
import { type FileProblem, type RecordedTrace, refused, type TraceFileOutcome } from './trace-file.ts';

/** Rows that cannot be read are left out, up to this share of all; more means that the file is something else. */
const UNREADABLE_SHARE = 0.02;
const UNREADABLE_ROWS = 3;

/** Reads the rows below the header row. `bodyLine` is the number, from 1, of the line that the first row is on. */
export function readBody(
  named: readonly Column[],
  rows: readonly (readonly string[])[],
  bodyLine: number,
  told: CsvHeader,
  fileName: string,
): TraceFileOutcome {
  const columns = withUnitsRow(named, rows[0] ?? []);
  const isPressure = (index: number) => columns[index]?.kind === 'pressure';
  const isTime = (index: number) => columns[index]?.kind === 'time';
  const pressures = withoutRepeats(columns, [...columns.keys()].filter(isPressure));
  const times = [...columns.keys()].filter(isTime);
  const mark = decimalMarkOf(
    sample(rows).flatMap((row) => [...times, ...pressures].map((i) => row[i] ?? '')),
  );
  const lineOf = (row: number) => bodyLine + row;
  const remarks = [...told.remarks];

  const axes = new Map<number, TimeAxis>();
  const traces: RecordedTrace[] = [];
  for (const index of pressures) {
    const column = columns[index]!;
    const perUnit =
      column.kind === 'pressure' && (column.perUnit ?? unitFromText(told.pressureUnit ?? '')?.perUnit);
    if (column.kind !== 'pressure' || !perUnit) {
      return refused(
        'no-pressure',
        'The pressure column names no unit; call it pressure_kpa, pressure_psi or the like.',
        bodyLine - 1,
      );
    }
    // Each pressure goes with the nearest time column to its left: some loggers write one for each channel.
    const timeIndex = times.findLast((time) => time < index) ?? times[0] ?? -1;
    let axis = axes.get(timeIndex);
    if (!axis) {
      const read = readTimes(columns[timeIndex], timeIndex, rows, mark, told.rateHz, lineOf);
      if ('problem' in read) return { ok: false, problem: read.problem };
      axis = read.axis;
      axes.set(timeIndex, axis);
      remarks.push(...axis.remarks);
    }
    const read = readPressures(index, perUnit, rows, axis, mark, lineOf);
    if ('problem' in read) return { ok: false, problem: read.problem };
    if (read.missing > 0) remarks.push(`${read.missing} rows without a pressure were left out.`);
    if (read.timeS.length === 0) continue;
    const alone = pressures.length === 1;
    const fromName = hintsFromName(fileName.replace(/^.*[\\/]/, ''));
    traces.push({
      fileName,
      header: {
        ...told.header,
        // The header speaks for the whole file, so it cannot number several columns.
        cylinder:
          column.hints.cylinder ??
          (alone ? (told.header.cylinder ?? fromName.cylinder) : pressures.indexOf(index) + 1),
        condition: column.hints.condition ?? told.header.condition ?? fromName.condition,
      },
      trace: { timeS: read.timeS, pressureKpa: read.pressureKpa, gaps: told.gaps },
    });
  }
  if (traces.length === 0) return refused('no-rows', 'There are no samples below the header row.', bodyLine);
  return { ok: true, traces, remarks };
}

/** A few hundred rows from all over the file: the first ones may all be round zeros. */
function sample<T>(rows: readonly T[]): T[] {
  const stride = Math.ceil(rows.length / 400);
  return rows.filter((_, i) => i % stride === 0);
}

/** Some loggers put the units on a line of their own, below the names. */
function withUnitsRow(columns: readonly Column[], row: readonly string[]): readonly Column[] {
  const units = columns.map((_, i) => unitFromText(row[i] ?? ''));
  return columns.map((column, i) =>
    column.kind === 'other' || column.perUnit !== undefined || units[i]?.kind !== column.kind
      ? column
      : { ...column, perUnit: units[i].perUnit },
  );
}

/** Leaves out columns that give a channel once more in another unit. */
function withoutRepeats(columns: readonly Column[], pressures: readonly number[]): readonly number[] {
  const seen = new Set<string>();
  return pressures.filter((index) => {
    const column = columns[index]!;
    if (column.kind !== 'pressure') return false;
    const repeated = seen.has(column.name) && column.name !== '';
    seen.add(column.name);
    return !repeated;
  });
}

function readTimes(
  column: Column | undefined,
  index: number,
  rows: readonly (readonly string[])[],
  mark: DecimalMark,
  rateHz: number | undefined,
  lineOf: (row: number) => number,
): { readonly axis: TimeAxis } | { readonly problem: FileProblem } {
  if (column?.kind !== 'time') {
    const stampS = Float64Array.from(rows, (row, i) =>
      row.length > 1 || row[0] ? i / (rateHz ?? 1) : Number.NaN,
    );
    return orderByTime(stampS, lineOf);
  }
  const stamps = new Float64Array(rows.length).fill(Number.NaN);
  const unreadable = new Unreadable('time');
  let isClock = false;
  let filled = 0;
  for (let i = 0; i < rows.length; i++) {
    const cell = rows[i]![index];
    if (cell === undefined || cell === '') continue;
    filled++;
    const clock = cell.includes(':') ? secondsFromClock(cell) : undefined;
    isClock ||= clock !== undefined;
    const value = clock ?? numberFromCell(cell, mark);
    if (value !== undefined) stamps[i] = value;
    else if (i > 0 || !unitFromText(cell)) unreadable.add(lineOf(i), cell);
  }
  const problem = unreadable.problem(filled);
  if (problem) return { problem };
  if (isClock) {
    unwrapMidnight(stamps);
    const first = stamps.find((stamp) => !Number.isNaN(stamp)) ?? 0;
    return orderByTime(
      stamps.map((stamp) => Number((stamp - first).toFixed(6))),
      lineOf,
    );
  }
  const perUnit = column.perUnit ?? guessSecondsPer(stamps.filter((stamp) => !Number.isNaN(stamp)));
  return orderByTime(perUnit === 1 ? stamps : stamps.map((stamp) => stamp * perUnit), lineOf);
}

/** A clock without a date starts anew at midnight. */
function unwrapMidnight(stamps: Float64Array): void {
  const DAY_S = 86_400;
  let days = 0;
  let last = Number.NaN;
  for (let i = 0; i < stamps.length; i++) {
    const stamp = stamps[i]!;
    if (Number.isNaN(stamp)) continue;
    if (stamp < last - DAY_S / 2) days++;
    last = stamp;
    stamps[i] = stamp + days * DAY_S;
  }
}

function readPressures(
  index: number,
  kpaPerUnit: number,
  rows: readonly (readonly string[])[],
  axis: TimeAxis,
  mark: DecimalMark,
  lineOf: (row: number) => number,
):
  | { readonly timeS: Float64Array; readonly pressureKpa: Float64Array; readonly missing: number }
  | { readonly problem: FileProblem } {
  const timeS = new Float64Array(axis.rows.length);
  const pressureKpa = new Float64Array(axis.rows.length);
  const unreadable = new Unreadable('pressure');
  let count = 0;
  for (let i = 0; i < axis.rows.length; i++) {
    const cell = rows[axis.rows[i]!]![index] ?? '';
    const value = numberFromCell(cell, mark);
    if (value === undefined) unreadable.add(lineOf(axis.rows[i]!), cell);
    const kpa = (value ?? Number.NaN) * kpaPerUnit;
    if (!Number.isFinite(kpa)) continue;
    timeS[count] = axis.timeS[i]!;
    pressureKpa[count++] = kpa;
  }
  const problem = unreadable.problem(axis.rows.length);
  if (problem) return { problem };
  return {
    timeS: timeS.slice(0, count),
    pressureKpa: pressureKpa.slice(0, count),
    missing: axis.rows.length - count,
  };
}

/** Counts cells that are no numbers, and decides when they are too many. */
class Unreadable {
  #count = 0;
  #first: { line: number; cell: string } | undefined;

  constructor(readonly what: 'time' | 'pressure') {}

  add(line: number, cell: string): void {
    this.#count++;
    if (!this.#first || line < this.#first.line) this.#first = { line, cell };
  }

  problem(total: number): FileProblem | undefined {
    if (!this.#first || this.#count < total) {
      if (!this.#first || this.#count <= Math.max(UNREADABLE_ROWS, UNREADABLE_SHARE * total))
        return undefined;
    }
    return {
      code: 'bad-number',
      line: this.#first.line,
      detail: `The ${this.what} "${this.#first.cell.trim().slice(0, 30)}" is not a number.`,
    };
  }
}
