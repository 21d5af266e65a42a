/** Checks and sets the day of a test. Pure. */
import { isDay } from '../../worker/file/day.ts';
import type { TestRecord } from '../../worker/file/records.ts';
import { localDay } from './test-date.ts';

/** Earliest day that a test may have. */
export const EARLIEST_DAY = '1900-01-01';

export type DayProblem =
  /** Not a day of the calendar. */
  | 'no-day'
  /** Later than today. */
  | 'future'
  /** Before `EARLIEST_DAY`. */
  | 'too-old';

/** Why a day cannot be that of a test; `null` when it can. */
export function dayProblem(day: string, now: Date): DayProblem | null {
  if (!isDay(day)) return 'no-day';
  if (day < EARLIEST_DAY) return 'too-old';
  return day > localDay(now) ? 'future' : null;
}

/** The test with another day. `null` by hand: the day of its record. */
export function withDay(test: TestRecord, day: string | null, from: 'hand' | 'file'): TestRecord {
  const { takenOn: _on, takenFrom: _from, ...rest } = test;
  const isOwn = day === null || (from === 'hand' && day === localDay(new Date(test.startedAt)));
  return isOwn ? rest : { ...rest, takenOn: day, takenFrom: from };
}

/**
 * Day that the `recorded` header of a file states. `undefined` when it states none, or in a form in which day and month
 * could be confused.
 */
export function dayInHeader(recorded = ''): string | undefined {
  const text = recorded.trim();
  const [, day = '', zone] =
    /^(\d{4}-\d{2}-\d{2})(?:[T ][\d:.,]+\s*(Z|[+-]\d{2}:?\d{2})?)?$/i.exec(text) ?? [];
  if (!isDay(day) || day < EARLIEST_DAY) return undefined;
  const instant = zone === undefined ? Number.NaN : Date.parse(text.replace(' ', 'T'));
  return Number.isNaN(instant) ? day : localDay(new Date(instant));
}
