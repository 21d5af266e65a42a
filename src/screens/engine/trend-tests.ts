/** Tests of one engine as the trend shows them. Pure. */
import type { LoadedTest } from '../../capture/bench.ts';
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

/** Final dry reading by cylinder. */
export function finalsOf({ counting }: LoadedTest): ReadonlyMap<number, number> {
  return new Map(
    [...counting.dry].flatMap(([cylinder, { reading }]) =>
      reading.finalKpa === null ? [] : [[cylinder, reading.finalKpa] as const],
    ),
  );
}

/** Those that have a place along the axis and a figure, in its order. */
export function trendTests(tests: readonly LoadedTest[], axis: TrendAxis): TrendRow[] {
  return tests
    .flatMap((loaded): TrendRow[] => {
      const at = placeOf(loaded.test, axis);
      const finalsKpa = finalsOf(loaded);
      const { id, startedAt } = loaded.test;
      return at === undefined || finalsKpa.size === 0 ? [] : [{ id, startedAt, at, finalsKpa }];
    })
    .sort((a, b) => a.at - b.at);
}

/** From the first to the last test in which each cylinder was read, for those read twice. */
export function changes(rows: readonly TrendTest[]): { readonly cylinder: number; readonly byKpa: number }[] {
  const cylinders = [...new Set(rows.flatMap((row) => [...row.finalsKpa.keys()]))].sort((a, b) => a - b);
  return cylinders.flatMap((cylinder) => {
    const finals = rows.flatMap((row) => row.finalsKpa.get(cylinder) ?? []);
    return finals.length < 2 ? [] : [{ cylinder, byKpa: finals.at(-1)! - finals[0]! }];
  });
}
