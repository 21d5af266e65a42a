/** Tests of one engine as the trend shows them. Pure. */
import type { TrendTest } from '../../components/trend-geometry.ts';
import type { TestRecord } from '../../store/port.ts';

export type TrendAxis = 'date' | 'odometer' | 'hours';
export const TREND_AXES: readonly TrendAxis[] = ['date', 'odometer', 'hours'];

export interface TrendRow extends TrendTest {
  readonly id: string;
  readonly startedAt: string;
}

/** Where a test lies along the axis: ms, km or h; `undefined` when it does not tell. */
export function placeOf(test: TestRecord, axis: TrendAxis): number | undefined {
  if (axis === 'date') return Date.parse(test.startedAt);
  return axis === 'odometer' ? test.conditions.odometerKm : test.conditions.hours;
}

/** A test with what was read of it; `null` when it could not be read. */
export interface TestFinals {
  readonly test: TestRecord;
  /** Final dry reading of each cylinder that has one, gauge kPa. */
  readonly finalsKpa: ReadonlyMap<number, number> | null;
}

export interface Finals {
  /** In the order in which they were read. */
  readonly known: readonly TestFinals[];
  /** How many are still to be read. */
  readonly waiting: number;
}

/** The newest first, which shows how the engine is now; then the oldest, so that the axis has both its ends from the start. */
export function readingOrder(newestFirst: readonly TestRecord[]): TestRecord[] {
  const [newest, ...older] = newestFirst;
  const oldest = older.pop();
  return newest && oldest ? [newest, oldest, ...older] : [...newestFirst];
}

/** Asked for together: enough to keep disk and analyst both at work. */
const TOGETHER = 4;

/** Reads all of them and gives what has come so far: after the first few, then at most every `everyMs`, and at the end. */
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

/** The newest test that has a figure; `undefined` as long as a newer one is still to be read. */
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

/** Those that have a place along the axis and a figure, in its order. */
export function trendTests(tests: readonly TestFinals[], axis: TrendAxis): TrendRow[] {
  return tests
    .flatMap(({ test, finalsKpa }): TrendRow[] => {
      const at = placeOf(test, axis);
      const { id, startedAt } = test;
      return at === undefined || !finalsKpa || finalsKpa.size === 0 ? [] : [{ id, startedAt, at, finalsKpa }];
    })
    .sort((a, b) => a.at - b.at);
}

/** From the first to the last test in which each cylinder was read, for those read twice. */
export function changes(rows: readonly TrendTest[]): { readonly cylinder: number; readonly byKpa: number }[] {
  const cylinders = [...new Set(rows.flatMap((row) => [...row.finalsKpa.keys()]))].sort((a, b) => a - b);
  return cylinders.flatMap((cylinder) => {
    const finals = rows.flatMap((row) => row.finalsKpa.get(cylinder) ?? []);
    const [first, ...later] = finals;
    const last = later.at(-1);
    return first === undefined || last === undefined ? [] : [{ cylinder, byKpa: last - first }];
  });
}
