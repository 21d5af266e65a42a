import type { Trace } from '../../worker/core/trace.ts';
import { type Chunk, chunkOf, chunkOfTrace, sameChunk, traceOf } from './chunks.ts';
import {
  type EngineRecord,
  type PlugWithPhoto,
  type StoreBranch,
  StoreProblem,
  type TakeRecord,
  type TestRecord,
  type TestStore,
} from './port.ts';

/** Keeps everything until the tab closes: for browsers without a database, for tests, and for trying things out. */
export function createMemoryStore(): TestStore {
  const engines = new Map<string, EngineRecord>();
  const tests = new Map<string, TestRecord>();
  const takes = new Map<string, TakeRecord>();
  const chunks = new Map<string, Chunk[]>();
  const plugs = new Map<string, PlugWithPhoto>();

  const takesOf = (testId: string) => [...takes.values()].filter((take) => take.testId === testId);
  const testsOf = (engineId: string) => [...tests.values()].filter((test) => test.engineId === engineId);
  const plugsOf = (engineId: string) => [...plugs.values()].filter(({ plug }) => plug.engineId === engineId);
  const traceOfTake = (takeId: string): Trace => traceOf(chunks.get(takeId) ?? []);

  const addAll = (branch: StoreBranch): void => {
    const taken =
      branch.engines.find(({ id }) => engines.has(id)) ??
      branch.tests.find(({ id }) => tests.has(id)) ??
      branch.takes.find(({ take }) => takes.has(take.id)) ??
      branch.plugs?.find(({ plug }) => plugs.has(plug.id));
    if (taken) throw new StoreProblem('unexpected', 'Something with this id is kept already.');
    for (const engine of branch.engines) engines.set(engine.id, structuredClone(engine));
    for (const test of branch.tests) tests.set(test.id, structuredClone(test));
    for (const { take, trace } of branch.takes) {
      takes.set(take.id, structuredClone(take));
      if (trace.timeS.length > 0 || trace.gaps.length > 0)
        chunks.set(take.id, [chunkOfTrace(take.id, trace)]);
    }
    for (const one of branch.plugs ?? []) plugs.set(one.plug.id, structuredClone(one));
  };

  return {
    async engines() {
      return structuredClone([...engines.values()]);
    },
    async engine(engineId) {
      return structuredClone(engines.get(engineId));
    },
    async saveEngine(engine) {
      engines.set(engine.id, structuredClone(engine));
    },
    async tests(engineId) {
      return structuredClone(engineId === undefined ? [...tests.values()] : testsOf(engineId));
    },
    async test(testId) {
      return structuredClone(tests.get(testId));
    },
    async counts() {
      return { engines: engines.size, tests: tests.size };
    },
    async saveTest(test) {
      tests.set(test.id, structuredClone(test));
    },
    async takes(testId) {
      return structuredClone(takesOf(testId));
    },
    async saveTake(take) {
      takes.set(take.id, structuredClone(take));
    },
    async append(takeId, index, block, gaps) {
      if (!takes.has(takeId)) throw new StoreProblem('missing', 'This take is not kept here.');
      const chunk = chunkOf(takeId, index, block, gaps);
      const journal = chunks.get(takeId) ?? [];
      const same = journal[index];
      if (same && sameChunk(same, chunk)) return;
      if (index !== journal.length) {
        throw new StoreProblem('unexpected', `Chunk ${index} of a take with ${journal.length}.`);
      }
      chunks.set(takeId, [...journal, chunk]);
    },
    async trace(takeId) {
      return traceOfTake(takeId);
    },
    async unfinished() {
      return structuredClone([...takes.values()].filter((take) => take.state === 'open'));
    },
    async plugs(engineId) {
      return structuredClone(plugsOf(engineId).map(({ plug }) => plug));
    },
    async savePlug(plug, photo) {
      plugs.set(plug.id, structuredClone({ plug, photo }));
    },
    async plugPhoto(plugId) {
      return structuredClone(plugs.get(plugId)?.photo);
    },
    async addAll(branch) {
      addAll(branch);
    },
    async remove(what) {
      const engine = 'engineId' in what ? engines.get(what.engineId) : undefined;
      const below = [...tests.values()].filter((test) =>
        'engineId' in what ? test.engineId === what.engineId : 'testId' in what && test.id === what.testId,
      );
      const looks = [...plugs.values()].filter(({ plug }) =>
        'engineId' in what ? plug.engineId === what.engineId : 'plugId' in what && plug.id === what.plugId,
      );
      if (!engine && below.length + looks.length === 0)
        throw new StoreProblem('missing', 'This is not kept here any more.');
      const branch: StoreBranch = {
        engines: engine ? [engine] : [],
        tests: below,
        plugs: looks,
        takes: below
          .flatMap((test) => takesOf(test.id))
          .map((take) => ({ take, trace: traceOfTake(take.id) })),
      };
      if (engine) engines.delete(engine.id);
      for (const test of branch.tests) tests.delete(test.id);
      for (const { plug } of looks) plugs.delete(plug.id);
      for (const { take } of branch.takes) {
        takes.delete(take.id);
        chunks.delete(take.id);
      }
      let undone = false;
      return {
        async undo() {
          if (undone) return;
          addAll(branch);
          undone = true;
        },
      };
    },
  };
}
