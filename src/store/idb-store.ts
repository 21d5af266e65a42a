import { fitToLimits } from '../../worker/file/limits.ts';
import type { PlugWithPhoto } from '../../worker/file/records.ts';
import { type Chunk, chunkOf, chunkOfTrace, sameChunk, traceOf } from './chunks.ts';
import { createDatabase, type Database, type Names, type Transaction } from './database.ts';
import { mergeEngines, undoMerge } from './merge-engines.ts';
import { type StoreBranch, StoreProblem, type TestStore } from './port.ts';
import { chunksOf, removeBranch } from './remove-branch.ts';

const ALL: Names[] = ['engines', 'tests', 'takes', 'chunks', 'plugs', 'photos'];

/** The store over IndexedDB. */
export function createIdbStore(name = 'strokebook', database: Database = createDatabase(name)): TestStore {
  const addAll = (branch: StoreBranch): Promise<void> => {
    const chunks = branch.takes
      .filter(({ trace }) => trace.timeS.length > 0 || trace.gaps.length > 0)
      .map(({ take, trace }) => chunkOfTrace(take.id, trace));
    return database.write(ALL, async (tx) => {
      // Async functions, so that a synchronous throw leaves no rejection of the others unhandled.
      await Promise.all([
        ...branch.engines.map(async (engine) => tx.objectStore('engines').add(fitToLimits(engine).record)),
        ...branch.tests.map(async (test) => tx.objectStore('tests').add(fitToLimits(test).record)),
        ...branch.takes.map(async ({ take }) => tx.objectStore('takes').add(fitToLimits(take).record)),
        ...chunks.map(async (chunk) => tx.objectStore('chunks').add(chunk)),
        ...(branch.plugs ?? []).map(async (one) => addPlug(tx, one)),
      ]);
    });
  };

  return {
    engines: () => database.read(['engines'], (tx) => tx.objectStore('engines').getAll()),
    engine: (engineId) => database.read(['engines'], (tx) => tx.objectStore('engines').get(engineId)),
    saveEngine: (engine) =>
      database.write(['engines'], async (tx) => {
        await tx.objectStore('engines').put(fitToLimits(engine).record);
      }),
    tests: (engineId) =>
      database.read(['tests'], (tx) =>
        engineId === undefined
          ? tx.objectStore('tests').getAll()
          : tx.objectStore('tests').index('engineId').getAll(engineId),
      ),
    test: (testId) => database.read(['tests'], (tx) => tx.objectStore('tests').get(testId)),
    counts: () =>
      database.read(['engines', 'tests'], async (tx) => {
        const [engines, tests] = await Promise.all([
          tx.objectStore('engines').count(),
          tx.objectStore('tests').count(),
        ]);
        return { engines, tests };
      }),
    saveTest: (test) =>
      database.write(['tests'], async (tx) => {
        await tx.objectStore('tests').put(fitToLimits(test).record);
      }),
    takes: (testId) =>
      database.read(['takes'], (tx) => tx.objectStore('takes').index('testId').getAll(testId)),
    saveTake: (take) =>
      database.write(['takes'], async (tx) => {
        await tx.objectStore('takes').put(fitToLimits(take).record);
      }),
    append: (takeId, index, block, gaps) => {
      const chunk = chunkOf(takeId, index, block, gaps);
      return database.write(['takes', 'chunks'], (tx) => addChunk(tx, chunk));
    },
    async trace(takeId) {
      const chunks = await database.read(['chunks'], (tx) =>
        tx.objectStore('chunks').getAll(chunksOf(takeId)),
      );
      return traceOf(chunks);
    },
    unfinished: () => database.read(['takes'], (tx) => tx.objectStore('takes').index('state').getAll('open')),
    plugs: (engineId) =>
      database.read(['plugs'], (tx) => tx.objectStore('plugs').index('engineId').getAll(engineId)),
    savePlug: (plug, photo) =>
      database.write(['plugs', 'photos'], async (tx) => {
        await Promise.all([
          tx.objectStore('plugs').put(fitToLimits(plug).record),
          photo
            ? tx.objectStore('photos').put({ ...photo, plugId: plug.id })
            : tx.objectStore('photos').delete(plug.id),
        ]);
      }),
    async plugPhoto(plugId) {
      const kept = await database.read(['photos'], (tx) => tx.objectStore('photos').get(plugId));
      return kept && { type: kept.type, bytes: kept.bytes };
    },
    addAll,
    mergeEngines: (kept, goneId) =>
      database.write(['engines', 'tests', 'plugs'], (tx) =>
        mergeEngines(tx, fitToLimits(kept).record, goneId),
      ),
    undoMerge: (merge) => database.write(['engines', 'tests', 'plugs'], (tx) => undoMerge(tx, merge)),
    async remove(what) {
      const found = await database.write(ALL, (tx) => removeBranch(tx, what));
      const branch: StoreBranch = {
        engines: found.engines,
        tests: found.tests,
        takes: found.takes.map(({ take, chunks }) => ({ take, trace: traceOf(chunks) })),
        plugs: found.plugs,
      };
      let undone: Promise<void> | undefined;
      return {
        undo() {
          undone ??= addAll(branch).catch((problem: unknown) => {
            undone = undefined;
            throw problem;
          });
          return undone;
        },
      };
    },
  };
}

async function addPlug(tx: Transaction<'readwrite'>, { plug, photo }: PlugWithPhoto): Promise<void> {
  await tx.objectStore('plugs').add(fitToLimits(plug).record);
  if (photo) await tx.objectStore('photos').add({ ...photo, plugId: plug.id });
}

async function addChunk(tx: Transaction<'readwrite'>, chunk: Chunk): Promise<void> {
  const chunks = tx.objectStore('chunks');
  const { takeId, index } = chunk;
  const [take, before, same] = await Promise.all([
    tx.objectStore('takes').getKey(takeId),
    index === 0 ? 'first' : chunks.getKey([takeId, index - 1]),
    chunks.get([takeId, index]),
  ]);
  if (take === undefined) throw new StoreProblem('missing', 'This take is not kept here.');
  // A retry of a write that had succeeded is accepted.
  if (same && sameChunk(same, chunk)) return;
  if (same || before === undefined) throw new StoreProblem('unexpected', `Chunk ${index} is out of turn.`);
  await chunks.add(chunk);
}
