/** Computes tests from stored records. Results are not stored; readings are cached in memory. */
import type { CylinderReading, Reading } from '../../worker/core/reading.ts';
import type { Condition } from '../../worker/core/trace.ts';
import type { EngineRecord, TakeRecord, TestRecord } from '../../worker/file/records.ts';
import type { Analyst } from '../analysis/analyst.ts';
import { ambientKpa, readingOptions, UNREAD } from '../analysis/reading-options.ts';
import { StoreProblem, type TestStore } from '../store/port.ts';
import type { LoadedTest, ReadTake } from './library.ts';
import { createLruCache } from './lru-cache.ts';
import { plugFindings } from './plug-findings.ts';
import { byOrder } from './take-order.ts';
import { takenAt } from './test-date.ts';

/** Readings cached: enough for a long history of one engine. Some kB each. */
const MOST_READINGS = 1000;

/** Loads tests without caching them; only readings are cached. */
export interface TestLoader {
  /** Rejects with a `StoreProblem`: `missing` when there is no such test. */
  load(testId: string): Promise<LoadedTest>;
  /** As `TestLibrary.finals`. */
  finals(engine: EngineRecord, test: TestRecord): Promise<ReadonlyMap<number, number>>;
}

/** `onTakes`: called with all takes of a test on each load. */
export function createTestLoader(
  store: TestStore,
  analyst: Analyst,
  onTakes: (takes: readonly TakeRecord[]) => void = () => {},
): TestLoader {
  const readings = createLruCache<Promise<Reading>>(MOST_READINGS);

  /** Cached by everything that the reading depends on, such as the engine card and the barometer. */
  const readingOf = (take: TakeRecord, engine: EngineRecord, test: TestRecord): Promise<Reading> => {
    const options = readingOptions(engine.facts, test.conditions, take);
    const key = JSON.stringify([take.id, options, take.typed]);
    const kept = readings.get(key);
    if (kept) return kept;
    const made = take.typed
      ? analyst.readTyped(take.typed, options)
      : store.trace(take.id).then((trace) => analyst.read(trace, options));
    readings.set(key, made);
    // Clear the cached failure, so the next load retries.
    made.catch(() => readings.delete(key));
    return made;
  };

  const read = async (take: TakeRecord, engine: EngineRecord, test: TestRecord): Promise<ReadTake> => {
    const reading = await readingOf(take, engine, test).catch((cause: unknown) => {
      if (cause instanceof StoreProblem) throw cause;
      return UNREAD;
    });
    return { take, reading };
  };

  /** Takes with readings, oldest first. Open takes are excluded. */
  const readTakes = async (
    engine: EngineRecord,
    test: TestRecord,
    takes: readonly TakeRecord[],
  ): Promise<readonly ReadTake[]> => {
    const ordered = takes.filter((take) => take.state !== 'open').sort(byOrder);
    return Promise.all(ordered.map((take) => read(take, engine, test)));
  };

  const load = async (testId: string): Promise<LoadedTest> => {
    const [test, takes] = await Promise.all([store.test(testId), store.takes(testId)]);
    onTakes(takes);
    const engine = test && (await store.engine(test.engineId));
    if (!test || !engine) throw new StoreProblem('missing', 'There is no such test.');
    const plugs = await store.plugs(engine.id);
    const all = await readTakes(engine, test, takes);
    const counting = countingTakes(all);
    const judgement = await analyst.judge(cylinderReadings(counting, engine), engine.facts, test.rule, {
      ambientKpa: ambientKpa(test.conditions),
      throttleOpen: test.conditions.throttleOpen,
      plugs: plugFindings(plugs, takenAt(test)),
    });
    return { engine, test, takes: all, counting, judgement };
  };

  return {
    load,
    async finals(engine, test) {
      const dry = (await store.takes(test.id)).filter(({ condition }) => condition === 'dry');
      return finalsOf(countingTakes(await readTakes(engine, test, dry)));
    },
  };
}

/** Newest finished take of each condition, by cylinder. `takes`: oldest first. */
export function countingTakes(takes: readonly ReadTake[]): LoadedTest['counting'] {
  const newest = (condition: Condition): ReadonlyMap<number, ReadTake> =>
    new Map(
      takes
        .filter(({ take }) => take.state === 'finished' && take.condition === condition)
        .map((one) => [one.take.cylinder, one]),
    );
  return { dry: newest('dry'), wet: newest('wet') };
}

/** Readings to judge. Wet readings of a diesel are left out, because a diesel must never get oil; they are only shown. */
export function cylinderReadings(
  counting: LoadedTest['counting'],
  { facts }: EngineRecord,
): CylinderReading[] {
  const conditions: readonly Condition[] = facts.fuel === 'diesel' ? ['dry'] : ['dry', 'wet'];
  return conditions.flatMap((condition) =>
    [...counting[condition]].map(([cylinder, { reading }]) => ({ cylinder, condition, reading })),
  );
}

/** Final dry readings by cylinder, gauge kPa. */
function finalsOf({ dry }: LoadedTest['counting']): ReadonlyMap<number, number> {
  return new Map(
    [...dry].flatMap(([cylinder, { reading }]) =>
      reading.finalKpa === null ? [] : [[cylinder, reading.finalKpa] as const],
    ),
  );
}
