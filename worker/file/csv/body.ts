import { type Column, unitFromText } from './column-names.ts';
import { headerFromKeys } from './comment-keys.ts';
import { type HeaderRow, splitRows } from './header-row.ts';
import { hintsFromName } from './name-hints.ts';
import { clockStamps, evenStamps, samplesOf } from './row-samples.ts';
import { type NumberColumn, readTable, unreadableProblem } from './table.ts';
import { guessSecondsPer, orderByTime, type TimeAxis } from './time-column.ts';
import { type RecordedTrace, refused, type TraceFileOutcome } from './trace-file.ts';

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
    const read = samplesOf(table.columns.get(index)!, (raw) => raw * kpaPerUnit, axis, lineOf);
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
  if (isClock) return clockStamps(values);
  const named = column.kind === 'time' ? column.perUnit : undefined;
  const perUnit = named ?? guessSecondsPer(values.filter((stamp) => !Number.isNaN(stamp)));
  return perUnit === 1 ? values : values.map((stamp) => stamp * perUnit);
}
