/** Loads an engine with its stored tests and plugs. */
import type { EngineRecord, PlugRecord, TestRecord } from '../../../worker/file/records.ts';
import { byTaken } from '../../library/test-date.ts';
import { StoreProblem, type TestStore } from '../../store/port.ts';

export interface EngineHistory {
  readonly engine: EngineRecord;
  /** Newest first. */
  readonly tests: readonly TestRecord[];
  readonly plugs: readonly PlugRecord[];
}

/** One engine. Rejects with a `StoreProblem`, `missing` when there is none. */
export async function engineById(store: TestStore, engineId: string): Promise<EngineRecord> {
  const engine = await store.engine(engineId);
  if (!engine) throw new StoreProblem('missing', 'There is no such engine.');
  return engine;
}

/** One engine with its tests and plugs. Rejects with a `StoreProblem`. */
export async function engineHistory(store: TestStore, engineId: string): Promise<EngineHistory> {
  const [engine, tests, plugs] = await Promise.all([
    engineById(store, engineId),
    store.tests(engineId),
    store.plugs(engineId),
  ]);
  return { engine, tests: [...tests].sort(byTaken).reverse(), plugs };
}

/** Cylinders with a stored take or plug of this engine. Rejects with a `StoreProblem`. */
export async function cylindersKept(store: TestStore, engineId: string): Promise<number[]> {
  const [tests, plugs] = await Promise.all([store.tests(engineId), store.plugs(engineId)]);
  const takes = await Promise.all(tests.map(({ id }) => store.takes(id)));
  return [...new Set([...plugs, ...takes.flat()].map(({ cylinder }) => cylinder))];
}
