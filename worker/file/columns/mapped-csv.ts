import { headerFromKeys } from '../csv/comment-keys.ts';
import { withExcerpt } from '../csv/excerpt.ts';
import { hintsFromName } from '../csv/name-hints.ts';
import { clockStamps, evenStamps, samplesOf } from '../csv/row-samples.ts';
import { type NumberColumn, readTable, unreadableProblem } from '../csv/table.ts';
import { orderByTime } from '../csv/time-column.ts';
import { parseTraceCsv, plainTextOf } from '../csv/trace-csv.ts';
import { type RecordedTrace, refused, type TraceFileOutcome } from '../csv/trace-file.ts';
import {
  type ColumnMapping,
  isSameShape,
  kpaConverter,
  mappingProblems,
  type TimeUnit,
} from './column-mapping.ts';
import { type FileLayout, findLayout } from './file-layout.ts';

const SECONDS_PER: Readonly<Record<Exclude<TimeUnit, 'date-time'>, number>> = { s: 1, ms: 1e-3, us: 1e-6 };

/**
 * Parses a trace file: by the first of `mappings` that is for files of its shape, else by its own header row, as
 * `parseTraceCsv` does. Never throws.
 */
export function readTraceFile(
  text: string,
  fileName: string,
  mappings: readonly ColumnMapping[] = [],
): TraceFileOutcome {
  if (mappings.length === 0) return parseTraceCsv(text, fileName);
  const plain = plainTextOf(text);
  if (typeof plain !== 'string') return plain;
  for (const mapping of mappings) {
    const layout = findLayout(plain, mapping.shape.separator);
    if (!layout || !isSameShape(layout.shape, mapping.shape)) continue;
    return withExcerpt(readMapped(plain, fileName, mapping, layout), plain);
  }
  return parseTraceCsv(text, fileName);
}

function readMapped(
  text: string,
  fileName: string,
  mapping: ColumnMapping,
  layout: FileLayout,
): TraceFileOutcome {
  const [absurd] = mappingProblems(mapping);
  if (absurd) return refused('bad-field', absurd.detail);
  const { time, pressures, shape } = mapping;
  const indices = pressures.map(({ column }) => column - 1);
  const times = 'column' in time ? [time.column - 1] : [];
  const table = readTable(text, layout.bodyStart, shape.separator, times, indices);
  const comments = headerFromKeys([...layout.keys, ...table.keys]);
  const lineOf = (row: number) => layout.bodyLine + row;

  const timeColumn = 'column' in time ? table.columns.get(time.column - 1) : undefined;
  const unreadable = timeColumn && unreadableProblem(timeColumn, 'time', lineOf);
  if (unreadable) return { ok: false, problem: unreadable };
  if ('column' in time && time.unit === 'date-time' && !timeColumn?.isClock) {
    const detail = `Column ${time.column} holds no clock times such as 14:03:22.125. Choose its unit, or another column.`;
    return refused('bad-number', detail, layout.bodyLine);
  }
  const stampS =
    'column' in time && timeColumn
      ? stampsOf(timeColumn, time.unit)
      : evenStamps(table.isRow, 'rateHz' in time ? time.rateHz : 1);
  const ordered = orderByTime(stampS, lineOf);
  if ('problem' in ordered) return { ok: false, problem: ordered.problem };

  const remarks = [...comments.remarks, ...ordered.axis.remarks];
  const traces: RecordedTrace[] = [];
  const fromName = hintsFromName(fileName.replace(/^.*[\\/]/, ''));
  for (const pressure of pressures) {
    const column = table.columns.get(pressure.column - 1)!;
    const read = samplesOf(column, kpaConverter(pressure), ordered.axis, lineOf);
    if ('problem' in read) return { ok: false, problem: read.problem };
    if (read.missing > 0) remarks.push(`${read.missing} rows without a pressure were left out.`);
    if (read.timeS.length === 0) continue;
    traces.push({
      fileName,
      header: {
        ...comments.header,
        cylinder: pressure.cylinder ?? comments.header.cylinder ?? fromName.cylinder,
        condition: pressure.condition ?? comments.header.condition ?? fromName.condition,
      },
      trace: { timeS: read.timeS, pressureKpa: read.pressureKpa, gaps: comments.gaps },
    });
  }
  if (traces.length === 0) {
    return refused('no-rows', 'The pressure columns hold no figures.', layout.bodyLine);
  }
  return { ok: true, traces, remarks, isMapped: true };
}

function stampsOf({ values, isClock }: NumberColumn, unit: TimeUnit): Float64Array {
  if (isClock || unit === 'date-time') return clockStamps(values);
  const perUnit = SECONDS_PER[unit];
  return perUnit === 1 ? values : values.map((stamp) => stamp * perUnit);
}
