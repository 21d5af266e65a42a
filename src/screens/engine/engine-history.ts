/** An engine with everything kept of it. */
import {
  type EngineRecord,
  type PlugRecord,
  StoreProblem,
  type TestRecord,
  type TestStore,
} from '../../store/port.ts';

export interface EngineHistory {
  readonly engine: EngineRecord;
  /** Newest first. */
  readonly tests: readonly TestRecord[];
  readonly plugs: readonly PlugRecord[];
}

export async function engineById(store: TestStore, engineId: string): Promise<EngineRecord> {
  const engine = await store.engine(engineId);
  if (!engine) throw new StoreProblem('missing', 'There is no such engine.');
  return engine;
}

export async function engineHistory(store: TestStore, engineId: string): Promise<EngineHistory> {
  const [engine, tests, plugs] = await Promise.all([
    engineById(store, engineId),
    store.tests(engineId),
    store.plugs(engineId),
  ]);
  return { engine, tests: [...tests].sort((a, b) => b.startedAt.localeCompare(a.startedAt)), plugs };
}

/** Cylinders that something kept of this engine tells of. */
export async function cylindersKept(store: TestStore, engineId: string): Promise<number[]> {
  const [tests, plugs] = await Promise.all([store.tests(engineId), store.plugs(engineId)]);
  const takes = await Promise.all(tests.map(({ id }) => store.takes(id)));
  return [...new Set([...plugs, ...takes.flat()].map(({ cylinder }) => cylinder))];
}
