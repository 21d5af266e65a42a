/** What the plan shows of a test. Pure. */
import type { CylinderVerdict } from '../../worker/core/judgement.ts';
import type { Condition } from '../../worker/core/trace.ts';
import type { LoadedTest, ReadTake } from '../capture/bench.ts';
import type { PlanCell } from '../components/plan.tsx';
import type { Reader } from '../components/reader.ts';

/** Each cylinder's reading as a share of the highest, with its figure, and its verdict where one is wanted. */
export function planCells(
  loaded: LoadedTest,
  reader: Reader,
  condition: Condition = 'dry',
  withVerdicts = true,
): Map<number, PlanCell> {
  const takes = loaded.counting[condition];
  const highestKpa = Math.max(0, ...[...takes.values()].map((one) => one.reading.finalKpa ?? 0));
  const verdicts = new Map(loaded.judgement.cylinders.map((one) => [one.cylinder, one]));
  const cells = new Map<number, PlanCell>();
  for (const [cylinder, { reading }] of takes) {
    if (reading.finalKpa === null) continue;
    cells.set(cylinder, {
      share: highestKpa > 0 ? reading.finalKpa / highestKpa : null,
      figure: reader.figure(reading.finalKpa),
      said: reader.pressure(reading.finalKpa, reading.finalPlusMinusKpa),
      verdict: withVerdicts ? verdictOf(verdicts.get(cylinder)) : undefined,
    });
  }
  return cells;
}

const verdictOf = (verdict: CylinderVerdict | undefined) =>
  verdict && verdict.finalKpa !== null ? verdict.verdict : undefined;

/** Everything that counts, dry before wet, by cylinder. */
export function countingTakes(loaded: LoadedTest): ReadTake[] {
  const byCylinder = (takes: ReadonlyMap<number, ReadTake>) =>
    [...takes.values()].sort((a, b) => a.take.cylinder - b.take.cylinder);
  return [...byCylinder(loaded.counting.dry), ...byCylinder(loaded.counting.wet)];
}
