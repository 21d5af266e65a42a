/** Engine, test and day that opened recordings may belong to. Pure. */
import type { RecordedTrace } from '../../../worker/file/csv/trace-file.ts';
import type { EngineRecord } from '../../../worker/file/records.ts';
import { dayInHeader, dayProblem } from '../../library/set-test-date.ts';
import { localDay } from '../../library/test-date.ts';

/** Real engines, newest first. Recordings never join a simulated engine or an example. */
export const realEngines = (engines: readonly EngineRecord[]): EngineRecord[] =>
  engines
    .filter(({ origin }) => origin !== 'simulated' && origin !== 'example')
    .sort((a, b) => b.createdAt.localeCompare(a.createdAt));

/** The engine that these recordings name, by their headers. */
export function engineNamed(
  engines: readonly EngineRecord[],
  traces: readonly RecordedTrace[],
): EngineRecord | undefined {
  const plain = (name: string): string => name.trim().replace(/\s+/g, ' ').toLocaleLowerCase();
  const names = new Set(traces.flatMap(({ header }) => (header.engine ? [plain(header.engine)] : [])));
  return engines.find(({ name }) => names.has(plain(name)));
}

/** Day proposed for a test. */
export interface ProposedDay {
  readonly day: string;
  /** `header`: the files state it. `changed`: the files were last changed then. */
  readonly from: 'header' | 'changed';
  /** Number of days that the headers state; the first of them is proposed. */
  readonly days: number;
}

/** The day that the headers state, or else on which the oldest file was last changed. A day to come is not proposed. */
export function proposedDay(
  traces: readonly RecordedTrace[],
  changedAt: Date | null,
  now: Date,
): ProposedDay {
  const stated = traces
    .map(({ header }) => dayInHeader(header.recorded))
    .filter((day) => day !== undefined && dayProblem(day, now) === null)
    .sort();
  const [first] = stated;
  if (first !== undefined) return { day: first, from: 'header', days: new Set(stated).size };
  const changed = changedAt ? localDay(changedAt) : '';
  return { day: dayProblem(changed, now) === null ? changed : localDay(now), from: 'changed', days: 0 };
}
