/** Content of the cylinder plan for a test. Pure. */
import { isTooShort, isUnusable } from '../../../worker/core/reading-quality.ts';
import type { Condition } from '../../../worker/core/trace.ts';
import type { Origin } from '../../../worker/file/records.ts';
import type { PlanCell } from '../../components/plan.tsx';
import type { Reader } from '../../components/reader.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';

interface CellsWanted {
  /** `wet`: wet readings replace dry ones where they exist. Otherwise dry readings only. */
  readonly condition?: Condition;
  readonly verdicts?: boolean;
}

/** Each cylinder's reading as a fraction of the highest, with its figure and, unless switched off, its verdict. */
export function planCells(
  loaded: LoadedTest,
  reader: Reader,
  { condition = 'dry', verdicts = true }: CellsWanted = {},
): Map<number, PlanCell> {
  const { dry, wet } = loaded.counting;
  const takes = new Map([...dry, ...(condition === 'wet' ? wet : [])]);
  const highestKpa = Math.max(0, ...[...takes.values()].map((one) => one.reading.finalKpa ?? 0));
  const judged = new Map(loaded.judgement.cylinders.map((one) => [one.cylinder, one]));
  const cells = new Map<number, PlanCell>();
  for (const [cylinder, { reading }] of takes) {
    // An unusable reading is not shown: its cylinder still has to be measured.
    if (reading.finalKpa === null || isUnusable(reading) || isTooShort(reading)) continue;
    cells.set(cylinder, {
      share: highestKpa > 0 ? reading.finalKpa / highestKpa : null,
      figure: reader.figure(reading.finalKpa),
      said: reader.pressure(reading.finalKpa, reading.finalPlusMinusKpa),
      verdict: verdicts ? judged.get(cylinder)?.verdict : undefined,
    });
  }
  return cells;
}

/** Takes that count, dry before wet, each by cylinder. */
export function countingTakes(loaded: LoadedTest): ReadTake[] {
  const byCylinder = (takes: ReadonlyMap<number, ReadTake>) =>
    [...takes.values()].sort((a, b) => a.take.cylinder - b.take.cylinder);
  return [...byCylinder(loaded.counting.dry), ...byCylinder(loaded.counting.wet)];
}

/** Origins of a test's figures other than `measured`. */
export function markedOrigins({ test, takes }: LoadedTest): Origin[] {
  const origins = new Set([test.origin, ...takes.map(({ take }) => take.origin)]);
  return [...origins].filter((origin) => origin !== 'measured');
}
