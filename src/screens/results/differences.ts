import type { Condition } from '../../../worker/core/trace.ts';
import { SEA_LEVEL_KPA } from '../../../worker/core/units.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';

/** Wet final minus dry final of each cylinder that has both, kPa. */
export function wetRises(takes: readonly ReadTake[]): Map<number, number> {
  const rises = new Map<number, number>();
  for (const wet of takes) {
    if (wet.take.condition !== 'wet' || wet.reading.finalKpa === null) continue;
    const dry = takes.find(({ take }) => take.condition === 'dry' && take.cylinder === wet.take.cylinder);
    if (dry?.reading.finalKpa != null)
      rises.set(wet.take.cylinder, wet.reading.finalKpa - dry.reading.finalKpa);
  }
  return rises;
}

/** One cylinder in one condition, in two tests of the same engine. Gauge kPa. */
export interface Change {
  readonly cylinder: number;
  readonly condition: Condition;
  readonly older: ReadTake;
  readonly newer: ReadTake;
  readonly thenKpa: number;
  readonly nowKpa: number;
  readonly byKpa: number;
  /** Half width of the 95 % interval of the difference; `null` when either is not known. */
  readonly plusMinusKpa: number | null;
  /** Difference after correction of both to sea level; `null` unless the barometric pressure of both is known. */
  readonly seaLevelByKpa: number | null;
}

/** Error of the two sensors to each other, kPa: 0 for the same one, and where their classes are not known. */
function sensorsKpa(a: ReadTake, b: ReadTake): number {
  const sensor = ({ take: { source } }: ReadTake): string =>
    JSON.stringify([source.kind, source.model, source.serial ?? source.name, source.accuracy?.check]);
  if (sensor(a) === sensor(b)) return 0;
  return Math.hypot(a.reading.sensorPlusMinusKpa ?? 0, b.reading.sensorPlusMinusKpa ?? 0);
}

/** Cylinders measured in both tests, dry before wet, each by cylinder. */
export function changesSince(then: LoadedTest, now: LoadedTest): Change[] {
  const factor = (test: LoadedTest): number | null =>
    test.judgement.ambientKpa === null ? null : SEA_LEVEL_KPA / test.judgement.ambientKpa;
  const [thenFactor, nowFactor] = [factor(then), factor(now)];
  return (['dry', 'wet'] as const).flatMap((condition) =>
    [...now.counting[condition]]
      .sort(([a], [b]) => a - b)
      .flatMap(([cylinder, newer]): Change[] => {
        const older = then.counting[condition].get(cylinder);
        const [thenKpa, nowKpa] = [older?.reading.finalKpa ?? null, newer.reading.finalKpa];
        if (!older || thenKpa === null || nowKpa === null) return [];
        const [a, b] = [older.reading.finalPlusMinusKpa, newer.reading.finalPlusMinusKpa];
        return [
          {
            cylinder,
            condition,
            older,
            newer,
            thenKpa,
            nowKpa,
            byKpa: nowKpa - thenKpa,
            plusMinusKpa: a === null || b === null ? null : Math.hypot(a, b, sensorsKpa(older, newer)),
            seaLevelByKpa:
              thenFactor === null || nowFactor === null ? null : nowKpa * nowFactor - thenKpa * thenFactor,
          },
        ];
      }),
  );
}

/** Whether the two readings used different kinds of hose, which read a few per cent apart. */
export const hasOtherHose = ({ older, newer }: Change): boolean => older.reading.hose !== newer.reading.hose;
