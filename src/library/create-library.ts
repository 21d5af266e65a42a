import { type Signal, signal } from '@preact/signals';
import type { Condition, Trace } from '../../worker/core/trace.ts';
import type { SourceInfo, TakeRecord, TestRecord } from '../../worker/file/records.ts';
import type { Analyst } from '../analysis/analyst.ts';
import { ambientKpa } from '../analysis/reading-options.ts';
import type { Clock, KeyValueStorage } from '../platform/ports.ts';
import { type AsyncState, LOADING } from '../store/async-state.ts';
import { asStoreProblem, type TestStore } from '../store/port.ts';
import type { LoadedTest, TestLibrary } from './library.ts';
import { createTestLoader, cylinderReadings } from './load-compression-test.ts';
import { createLruCache } from './lru-cache.ts';
import { createMergeLog } from './merge-log.ts';
import type { TakeOrder } from './take-order.ts';
import { createTaskQueue } from './task-queue.ts';

/** Traces kept for plots: enough for one engine, dry and wet. */
const MOST_TRACES = 24;
/** Tests kept, apart from those on screen. */
const MOST_TESTS = 30;
/** Tests loaded at once: one can be read from disk while the other is analysed. */
const MOST_LOADING = 2;

export interface LibraryDependencies {
  readonly store: TestStore;
  readonly analyst: Analyst;
  readonly clock: Clock;
  readonly newId: () => string;
  readonly order: TakeOrder;
  /** Keeps the undo of merges across visits. */
  readonly storage?: KeyValueStorage | undefined;
  /** Adds what the user stated of a source, such as the dial gauge, to what is known of it. */
  readonly describe?: ((info: SourceInfo) => SourceInfo) | undefined;
}

/** `takesChanged`: reloads a test after a take of it was stored outside of the library. */
export function createLibrary(
  deps: LibraryDependencies,
): TestLibrary & { takesChanged(testId: string): void } {
  const { store, analyst, clock, newId, order } = deps;
  /** Ids of tests on screen. */
  const shown = new Set<string>();
  const tests = createLruCache<Signal<AsyncState<LoadedTest>>>(MOST_TESTS, (testId) => shown.has(testId));
  const queue = createTaskQueue(MOST_LOADING);
  const loads = new Map<string, number>();
  const revision = signal(0);
  const loader = createTestLoader(store, analyst, order.seen);
  const traces = createLruCache<Promise<Trace>>(MOST_TRACES);
  const mergeLog = createMergeLog(deps.storage);

  const traceOf = (takeId: string): Promise<Trace> => {
    const kept = traces.get(takeId);
    if (kept) return kept;
    const trace = store.trace(takeId);
    traces.set(takeId, trace);
    trace.catch(() => traces.delete(takeId));
    return trace;
  };

  const load = async (
    testId: string,
    resource: Signal<AsyncState<LoadedTest>>,
    mine: number,
  ): Promise<void> => {
    let after: AsyncState<LoadedTest>;
    try {
      after = { state: 'ready', value: await loader.load(testId) };
    } catch (cause) {
      after = { state: 'failed', problem: asStoreProblem(cause) };
    }
    // A later change started another load: this result is outdated.
    if (loads.get(testId) === mine) resource.value = after;
  };

  /** The test requested last is on screen, so it loads first. */
  const reload = (testId: string): void => {
    const resource = tests.get(testId);
    if (!resource) return;
    const mine = (loads.get(testId) ?? 0) + 1;
    loads.set(testId, mine);
    const before = resource.peek();
    resource.value = { state: 'loading', value: before.state === 'failed' ? null : before.value };
    queue.next(testId, () => load(testId, resource, mine));
  };

  const keep = (testId: string): Signal<AsyncState<LoadedTest>> => {
    const made = signal<AsyncState<LoadedTest>>(LOADING, {
      watched() {
        shown.add(testId);
        if (tests.get(testId) === made) return;
        // It was dropped from the cache while it was off screen.
        tests.set(testId, made);
        reload(testId);
      },
      unwatched() {
        shown.delete(testId);
        if (queue.drop(testId)) tests.delete(testId);
      },
    });
    tests.set(testId, made);
    reload(testId);
    return made;
  };

  const reloadTestsOf = async (engineId: string): Promise<void> => {
    for (const { id } of await store.tests(engineId)) reload(id);
  };

  const refilled = (): void => {
    revision.value++;
    for (const testId of tests.keys()) reload(testId);
  };

  /** Shows the changed test before it is stored and computed again, so that the next change builds on it. */
  const showAtOnce = (test: TestRecord): void => {
    // Discard a running load: its result is the test before this change.
    loads.set(test.id, (loads.get(test.id) ?? 0) + 1);
    const resource = tests.get(test.id);
    const before = resource?.peek();
    if (!resource || !before || before.state === 'failed' || !before.value) return;
    resource.value = { ...before, value: { ...before.value, test } };
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
    source: deps.describe?.({ kind, name }) ?? { kind, name },
    startedAt: clock.wallTime(),
    order: order.next(),
    state: 'finished',
  });

  return {
    test: (testId) => tests.get(testId) ?? keep(testId),
    finals: (engine, test) => queue.later(() => loader.finals(engine, test)),
    async leaks({ engine, test, counting }) {
      const measured = await Promise.all(
        cylinderReadings(counting, engine).map(async (one) => {
          const take = counting[one.condition].get(one.cylinder)?.take;
          // A check-valve trace adds nothing to the reading.
          return take && one.reading.hose === 'open' ? { ...one, trace: await traceOf(take.id) } : one;
        }),
      );
      return analyst.leaks(measured, engine.facts, { ambientKpa: ambientKpa(test.conditions) });
    },
    trace: traceOf,
    async addTyped(test, cylinder, condition, typed) {
      const take = { ...newTake(test, cylinder, condition, 'typed', 'Dial gauge'), typed };
      await store.saveTake(take);
      reload(test.id);
      return take;
    },
    async addRecorded(test, cylinder, condition, { fileName, header, trace }) {
      const made = newTake(test, cylinder, condition, 'replay', fileName);
      // Facts from the file's header affect its analysis.
      const { hose, zeroKpa, sensorMaxKpa, sensorAccuracy: accuracy } = header;
      const take: TakeRecord = { ...made, hose, zeroKpa, source: { ...made.source, sensorMaxKpa, accuracy } };
      await store.addAll({ engines: [], tests: [], takes: [{ take, trace }] });
      reload(test.id);
      return take;
    },
    async setTakeState(take, state) {
      await store.saveTake({ ...take, state });
      reload(take.testId);
    },
    async saveTest(test) {
      showAtOnce(test);
      try {
        await store.saveTest(test);
      } finally {
        // Also after a failure, which restores the stored test on screen.
        reload(test.id);
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
    async mergeEngines(kept, goneId) {
      const merge = await store.mergeEngines(kept, goneId);
      mergeLog.add({ ...merge, mergedAt: clock.wallTime() });
      refilled();
    },
    merges: (engineId) => mergeLog.all().filter(({ kept }) => kept.id === engineId),
    async undoMerge(merge) {
      await store.undoMerge(merge);
      mergeLog.drop(merge);
      refilled();
    },
    keepMerge(merge) {
      mergeLog.drop(merge);
      revision.value++;
    },
    refilled,
    revision,
    takesChanged: (testId) => reload(testId),
  };
}
