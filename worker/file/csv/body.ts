import { LIMITS } from '../limits.ts';
import { type Column, unitFromText } from './column-names.ts';
import { headerFromKeys } from './comment-keys.ts';
import { type HeaderRow, splitRows } from './header-row.ts';
import { hintsFromName } from './name-hints.ts';
import { type NumberColumn, readTable, unreadableProblem } from './table.ts';
import { guessSecondsPer, orderByTime, type TimeAxis } from './time-column.ts';
import { type FileProblem, type RecordedTrace, refused, type TraceFileOutcome } from './trace-file.ts';

/** Parses the text below the header row. `fileName` supplies a cylinder number that the header lacks. Never throws. */
export function readBody(text: string, found: HeaderRow, fileName: string): TraceFileOutcome {
  const columns = withUnitsLine(text, found);
  const pressures = withoutRepeats(columns, indicesOf(columns, 'pressure'));
  const times = indicesOf(columns, 'time');
  const table = readTable(text, found.bodyStart, found.delimiter, times, pressures);
  const comments = headerFromKeys([...found.keys, ...table.keys]);
  const lineOf = (row: number) => found.bodyLine + row;
  const remarks = [...comments.remarks];

  const axes = new Map<number, TimeAxis>();
  const traces: RecordedTrace[] = [];
  for (const index of pressures) {
    const column = columns[index]!;
    if (column.kind !== 'pressure') continue;
    const kpaPerUnit = column.perUnit ?? unitFromText(comments.pressureUnit ?? '')?.perUnit;
    if (kpaPerUnit === undefined) {
      return refused(
        'no-pressure',
        'The pressure column names no unit; call it pressure_kpa, pressure_psi or the like.',
        found.bodyLine - 1,
      );
    }
    // Each pressure belongs to the nearest time column on its left: some loggers write one for each channel.
    const timeIndex = times.findLast((time) => time < index) ?? times[0] ?? -1;
    let axis = axes.get(timeIndex);
    if (!axis) {
      const timeColumn = table.columns.get(timeIndex);
      const problem = timeColumn && unreadableProblem(timeColumn, 'time', lineOf);
      if (problem) return { ok: false, problem };
      const stampS = timeColumn
        ? stampsOf(timeColumn, columns[timeIndex]!)
        : evenStamps(table.isRow, comments.rateHz ?? 1);
      const ordered = orderByTime(stampS, lineOf);
      if ('problem' in ordered) return { ok: false, problem: ordered.problem };
      axis = ordered.axis;
      axes.set(timeIndex, axis);
      remarks.push(...axis.remarks);
    }
    const read = samplesOf(table.columns.get(index)!, kpaPerUnit, axis, lineOf);
    if ('problem' in read) return { ok: false, problem: read.problem };
    if (read.missing > 0) remarks.push(`${read.missing} rows without a pressure were left out.`);
    if (read.timeS.length === 0) continue;
    const alone = pressures.length === 1;
    const fromName = hintsFromName(fileName.replace(/^.*[\\/]/, ''));
    traces.push({
      fileName,
      header: {
        ...comments.header,
        // The header applies to the whole file, so it cannot number several columns.
        cylinder:
          column.hints.cylinder ??
          (alone ? (comments.header.cylinder ?? fromName.cylinder) : pressures.indexOf(index) + 1),
        condition: column.hints.condition ?? comments.header.condition ?? fromName.condition,
      },
      trace: { timeS: read.timeS, pressureKpa: read.pressureKpa, gaps: comments.gaps },
    });
  }
  if (traces.length === 0) {
    return refused('no-rows', 'There are no samples below the header row.', found.bodyLine);
  }
  return { ok: true, traces, remarks };
}

const indicesOf = (columns: readonly Column[], kind: Column['kind']): number[] =>
  [...columns.keys()].filter((index) => columns[index]!.kind === kind);

/** Adds the units that some loggers put on a separate line below the names. */
function withUnitsLine(text: string, { columns, delimiter, bodyStart }: HeaderRow): readonly Column[] {
  const newline = text.indexOf('\n', bodyStart);
  const line = text.slice(bodyStart, newline < 0 ? text.length : newline);
  const units = (splitRows(line, delimiter)[0] ?? []).map(unitFromText);
  return columns.map((column, i) =>
    column.kind === 'other' || column.perUnit !== undefined || units[i]?.kind !== column.kind
      ? column
      : { ...column, perUnit: units[i].perUnit },
  );
}

/** Drops columns that repeat a channel in another unit. */
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

/** Time of each row in seconds, from a time column. */
function stampsOf({ values, isClock }: NumberColumn, column: Column): Float64Array {
  if (isClock) {
    const stamps = unwrapMidnight(values);
    const first = stamps.find((stamp) => !Number.isNaN(stamp)) ?? 0;
    // Seconds since 1970 leave a double only microsecond resolution.
    return stamps.map((stamp) => Number((stamp - first).toFixed(6)));
  }
  const named = column.kind === 'time' ? column.perUnit : undefined;
  const perUnit = named ?? guessSecondsPer(values.filter((stamp) => !Number.isNaN(stamp)));
  return perUnit === 1 ? values : values.map((stamp) => stamp * perUnit);
}

/** Time of each row in seconds, for a logger that states only its rate. */
function evenStamps(isRow: Uint8Array, rateHz: number): Float64Array {
  let count = 0;
  return Float64Array.from(isRow, (row) => (row ? count++ / rateHz : Number.NaN));
}

/** Adds a day at each midnight of a clock without a date. */
function unwrapMidnight(clockS: Float64Array): Float64Array {
  const DAY_S = 86_400;
  let days = 0;
  let last = Number.NaN;
  return clockS.map((stamp) => {
    if (Number.isNaN(stamp)) return stamp;
    if (stamp < last - DAY_S / 2) days++;
    last = stamp;
    return stamp + days * DAY_S;
  });
}

function samplesOf(
  column: NumberColumn,
  kpaPerUnit: number,
  axis: TimeAxis,
  lineOf: (row: number) => number,
):
  | { readonly timeS: Float64Array; readonly pressureKpa: Float64Array; readonly missing: number }
  | { readonly problem: FileProblem } {
  const problem = unreadableProblem(column, 'pressure', lineOf);
  if (problem) return { problem };
  const timeS = new Float64Array(axis.rows.length);
  const pressureKpa = new Float64Array(axis.rows.length);
  let count = 0;
  for (let i = 0; i < axis.rows.length; i++) {
    const kpa = column.values[axis.rows[i]!]! * kpaPerUnit;
    if (!Number.isFinite(kpa)) continue;
    if (Math.abs(kpa) > LIMITS.sensorKpa) {
      const line = lineOf(axis.rows[i]!);
      const detail = `The pressure ${Number(kpa.toPrecision(4))} kPa is beyond any sensor for this job (${LIMITS.sensorKpa} kPa); check the unit, or correct that line.`;
      return { problem: { code: 'bad-number', line, detail } };
    }
    timeS[count] = axis.timeS[i]!;
    pressureKpa[count++] = kpa;
  }
  return {
    timeS: timeS.slice(0, count),
    pressureKpa: pressureKpa.slice(0, count),
    missing: timeS.length - count,
  };
}
