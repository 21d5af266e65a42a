/**
 * The day of a test. `startedAt` is when the record was made and never changes: takes and fingerprint rest on it. `takenOn`
 * is the day on which the test was taken, which order, trend and reports follow. Pure.
 */
import type { TestRecord } from '../../worker/file/records.ts';

type Dated = Pick<TestRecord, 'startedAt' | 'takenOn'>;

/** The day in the device's time zone, `YYYY-MM-DD`. */
export function localDay(date: Date): string {
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${String(date.getFullYear()).padStart(4, '0')}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

/** When the test was taken, ISO 8601. Noon of the device's time zone where only the day is known. */
export function takenAt({ startedAt, takenOn }: Dated): string {
  if (takenOn === undefined || takenOn === localDay(new Date(startedAt))) return startedAt;
  return new Date(`${takenOn}T12:00:00`).toISOString();
}

/** Comparator: earliest test first; tests of the same day in the order of their records. */
export const byTaken = (a: Dated, b: Dated): number =>
  takenAt(a).localeCompare(takenAt(b)) || a.startedAt.localeCompare(b.startedAt);
