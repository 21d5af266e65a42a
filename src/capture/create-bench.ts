import { type Signal, signal } from '@preact/signals';
import type { CylinderReading, Reading } from '../../worker/core/reading.ts';
import type { Condition, Trace } from '../../worker/core/trace.ts';
import type { Clock } from '../platform/ports.ts';
import {
  type EngineRecord,
  StoreProblem,
  type TakeRecord,
  type TestRecord,
  type TestStore,
} from '../store/port.ts';
import type { Analyst } from './analyst.ts';
import type { Bench, LoadedTest, ReadTake, Resource } from './bench.ts';
import { asProblem } from './journal.ts';
import { plugFindings } from './plug-findings.ts';
import { ambientKpa, readingOptions, UNREAD } from './reading-options.ts';

/** Traces kept for plots: an engine's worth, dry and wet. */
const MOST_TRACES = 24;

export interface BenchDependencies {
  readonly store: TestStore;
  readonly analyst: Analyst;
  readonly clock: Clock;
  readonly newId: () => string;
}

/** Nothing computed is stored: readings are kept by take as long as the tab lives, and made anew otherwise. */
export function createBench(deps: BenchDependencies): Bench & { takesChanged(testId: string): void } {
  const { store, analyst, clock, newId } = deps;
  const tests = new Map<string, Signal<Resource<LoadedTest>>>();
  const loads = new Map<string, number>();
  const comings = signal(0);
  const readings = new Map<string, Promise<Reading>>();
  const traces = new Map<string, Promise<Trace>>();

  const traceOf = (takeId: string): Promise<Trace> => {
    const kept = traces.get(takeId);
    traces.delete(takeId);
    const trace = kept ?? store.trace(takeId);
    traces.set(takeId, trace);
    trace.catch(() => traces.delete(takeId));
    for (const oldest of [...traces.keys()].slice(0, -MOST_TRACES)) traces.delete(oldest);
    return trace;
  };

  /** By everything that the reading depends on, so that a changed engine card or barometer is not overlooked. */
  const readingOf = (take: TakeRecord, engine: EngineRecord, test: TestRecord): Promise<Reading> => {
    const options = readingOptions(engine.facts, test.conditions, take);
    const key = JSON.stringify([take.id, options, take.typed]);
    const kept = readings.get(key);
    if (kept) return kept;
    const made = take.typed
      ? analyst.readTyped(take.typed, options)
      : store.trace(take.id).then((trace) => analyst.read(trace, options));
    readings.set(key, made);
    // A store that refuses is asked again; a trace that can not be read stays unread.
    made.catch(() => readings.delete(key));
    return made;
  };

  const load = async (testId: string): Promise<LoadedTest> => {
    const [test, takes] = await Promise.all([store.test(testId), store.takes(testId)]);
    const engine = test && (await store.engine(test.engineId));
    if (!test || !engine) throw new StoreProblem('missing', 'There is no such test.');
    const plugs = await store.plugs(engine.id);
    const ordered = takes.filter((take) => take.state !== 'open').sort(byStart);
    const read = await Promise.all(
      ordered.map(async (take): Promise<ReadTake> => {
        const reading = await readingOf(take, engine, test).catch((cause: unknown) => {
          if (cause instanceof StoreProblem) throw cause;
          return UNREAD;
        });
        return { take, reading };
      }),
    );
    const counting = countingTakes(read);
    const judgement = await analyst.judge(cylinderReadings(counting, engine), engine.facts, test.rule, {
      ambientKpa: ambientKpa(test.conditions),
      throttleOpen: test.conditions.throttleOpen,
      plugs: plugFindings(plugs, test.startedAt),
    });
    return { engine, test, takes: read, counting, judgement };
  };

  const reload = async (testId: string): Promise<void> => {
    const resource = tests.get(testId);
    if (!resource) return;
    const mine = (loads.get(testId) ?? 0) + 1;
    loads.set(testId, mine);
    const before = resource.peek();
    resource.value = { state: 'loading', value: before.state === 'failed' ? null : before.value };
    let after: Resource<LoadedTest>;
    try {
      after = { state: 'ready', value: await load(testId) };
    } catch (cause) {
      after = { state: 'failed', problem: asProblem(cause) };
    }
    // A later change has its own load under way: this answer is old.
    if (loads.get(testId) === mine) resource.value = after;
  };

  const reloadTestsOf = async (engineId: string): Promise<void> => {
    for (const { id } of await store.tests(engineId)) void reload(id);
  };

  const refilled = (): void => {
    comings.value++;
    for (const testId of tests.keys()) void reload(testId);
  };

  /**
   * Before it is stored and computed anew: what is saved next must build on this, not on the test from before, however
   * quick the hand and slow the disk.
   */
  const showAtOnce = (test: TestRecord): void => {
    // A load under way would bring back what was there before.
    loads.set(test.id, (loads.get(test.id) ?? 0) + 1);
    const resource = tests.get(test.id);
    const shown = resource?.peek();
    if (!resource || !shown || shown.state === 'failed' || !shown.value) return;
    resource.value = { ...shown, value: { ...shown.value, test } };
  };

  const newTake = (
    test: TestRecord,
    cylinder: number,
    condition: Condition,
    kind: 'typed' | 'replay',
    name: string,
  ): TakeRecord => ({
    id: newId(),
    testId: test.id,
    cylinder,
    condition,
    origin: kind === 'typed' ? 'typed' : 'recording',
    source: { kind, name },
    startedAt: clock.wallTime(),
    state: 'finished',
  });

  return {
    test(testId) {
      const known = tests.get(testId);
      if (known) return known;
      const made = signal<Resource<LoadedTest>>({ state: 'loading', value: null });
      tests.set(testId, made);
      void reload(testId);
      return made;
    },
    async leaks({ engine, test, counting }) {
      const measured = await Promise.all(
        cylinderReadings(counting, engine).map(async (one) => {
          const { take } = counting[one.condition].get(one.cylinder)!;
          // Held steps tell nothing more than the reading does.
          return one.reading.hose === 'open' ? { ...one, trace: await traceOf(take.id) } : one;
        }),
      );
      return analyst.leaks(measured, engine.facts, { ambientKpa: ambientKpa(test.conditions) });
    },
    trace: traceOf,
    async addTyped(test, cylinder, condition, typed) {
      const take = { ...newTake(test, cylinder, condition, 'typed', 'Dial gauge'), typed };
      await store.saveTake(take);
      void reload(test.id);
      return take;
    },
    async addRecorded(test, cylinder, condition, trace, name) {
      const take = newTake(test, cylinder, condition, 'replay', name);
      await store.addAll({ engines: [], tests: [], takes: [{ take, trace }] });
      void reload(test.id);
      return take;
    },
    async setTakeState(take, state) {
      await store.saveTake({ ...take, state });
      void reload(take.testId);
    },
    async saveTest(test) {
      showAtOnce(test);
      try {
        await store.saveTest(test);
      } finally {
        // Also when it could not be stored: then what is shown goes back to what is.
        void reload(test.id);
      }
    },
    async saveEngine(engine) {
      await store.saveEngine(engine);
      await reloadTestsOf(engine.id);
    },
    async addPlugs(plugs) {
      await store.addAll({ engines: [], tests: [], takes: [], plugs });
      for (const engineId of new Set(plugs.map(({ plug }) => plug.engineId))) await reloadTestsOf(engineId);
    },
    async remove(what) {
      const { undo } = await store.remove(what);
      refilled();
      return { undo: () => undo().then(refilled) };
    },
    refilled,
    comings,
    takesChanged: (testId) => void reload(testId),
  };
}

const byStart = (a: TakeRecord, b: TakeRecord): number =>
  a.startedAt < b.startedAt ? -1 : a.startedAt > b.startedAt ? 1 : 0;

/** The newest finished take of each cylinder and condition. `takes` oldest first. */
export function countingTakes(takes: readonly ReadTake[]): LoadedTest['counting'] {
  const newest = (condition: Condition): ReadonlyMap<number, ReadTake> =>
    new Map(
      takes
        .filter(({ take }) => take.state === 'finished' && take.condition === condition)
        .map((one) => [one.take.cylinder, one]),
    );
  return { dry: newest('dry'), wet: newest('wet') };
}

/** What is judged. A diesel must never get oil: a reading of one that is marked as wet is shown, and no verdict rests on it. */
function cylinderReadings(counting: LoadedTest['counting'], { facts }: EngineRecord): CylinderReading[] {
  const conditions: readonly Condition[] = facts.fuel === 'diesel' ? ['dry'] : ['dry', 'wet'];
  return conditions.flatMap((condition) =>
    [...counting[condition]].map(([cylinder, { reading }]) => ({ cylinder, condition, reading })),
  );
}
