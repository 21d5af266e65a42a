/** Prepares the tests of one engine for the trend. Pure. */

import type { TestRecord } from '../../../worker/file/records.ts';
import type { TrendTest } from '../../components/trend-geometry.ts';
import { takenAt } from '../../library/test-date.ts';

export type TrendAxis = 'date' | 'odometer' | 'hours';
export const TREND_AXES: readonly TrendAxis[] = ['date', 'odometer', 'hours'];

export interface TrendRow extends TrendTest {
  readonly id: string;
  /** ISO 8601. */
  readonly takenAt: string;
}

/** Position of a test on the axis: ms since 1970, km or h. `undefined` when it is not recorded. */
export function placeOf(test: TestRecord, axis: TrendAxis): number | undefined {
  if (axis === 'date') return Date.parse(takenAt(test));
  return axis === 'odometer' ? test.conditions.odometerKm : test.conditions.hours;
}

/** A test with its final readings. */
export interface TestFinals {
  readonly test: TestRecord;
  /** Final dry reading of each measured cylinder, gauge kPa. `null` when the test could not be read. */
  readonly finalsKpa: ReadonlyMap<number, number> | null;
}

export interface Finals {
  /** In loading order. */
  readonly known: readonly TestFinals[];
  /** Number of tests still to load. */
  readonly waiting: number;
}

/**
 * Loading order: newest first for the current state, then the oldest so that the axis has both ends, then the others.
 */
export function readingOrder(newestFirst: readonly TestRecord[]): TestRecord[] {
  const [newest, ...older] = newestFirst;
  const oldest = older.pop();
  return newest && oldest ? [newest, oldest, ...older] : [...newestFirst];
}

/** Tests loaded in parallel: enough to keep both storage and analysis busy. */
const TOGETHER = 4;

/**
 * Reads all items and yields the results so far: after the first batch, then at most every `everyMs`, and at the end.
 */
export async function* inBatches<T, R>(
  items: readonly T[],
  read: (item: T) => Promise<R>,
  everyMs: number,
): AsyncGenerator<readonly R[], void> {
  const come: R[] = [];
  let givenMs = Number.NEGATIVE_INFINITY;
  for (let from = 0; from < items.length; from += TOGETHER) {
    come.push(...(await Promise.all(items.slice(from, from + TOGETHER).map(read))));
    const nowMs = Date.now();
    if (come.length < items.length && nowMs - givenMs < everyMs) continue;
    givenMs = nowMs;
    yield [...come];
  }
}

/** The newest test with a final reading; `undefined` while a newer one is still loading, or when there is none. */
export function newestWithFinals(
  newestFirst: readonly TestRecord[],
  { known }: Finals,
): TestRecord | undefined {
  const read = new Map(known.map((one) => [one.test.id, one]));
  for (const test of newestFirst) {
    const one = read.get(test.id);
    if (!one) return undefined;
    if (one.finalsKpa && one.finalsKpa.size > 0) return test;
  }
  return undefined;
}

/** Tests with an axis position and a final reading, ascending. */
export function trendTests(tests: readonly TestFinals[], axis: TrendAxis): TrendRow[] {
  return tests
    .flatMap(({ test, finalsKpa }): TrendRow[] => {
      const at = placeOf(test, axis);
      if (at === undefined || !finalsKpa || finalsKpa.size === 0) return [];
      return [{ id: test.id, takenAt: takenAt(test), at, finalsKpa }];
    })
    .sort((a, b) => a.at - b.at);
}

/** Change from the first to the last test of each cylinder with at least two readings. */
export function changes(rows: readonly TrendTest[]): { readonly cylinder: number; readonly byKpa: number }[] {
  const cylinders = [...new Set(rows.flatMap((row) => [...row.finalsKpa.keys()]))].sort((a, b) => a - b);
  return cylinders.flatMap((cylinder) => {
    const finals = rows.flatMap((row) => row.finalsKpa.get(cylinder) ?? []);
    const [first, ...later] = finals;
    const last = later.at(-1);
    return first === undefined || last === undefined ? [] : [{ cylinder, byKpa: last - first }];
  });
}
