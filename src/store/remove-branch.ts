import type {
  EngineRecord,
  PlugRecord,
  PlugWithPhoto,
  TakeRecord,
  TestRecord,
} from '../../worker/file/records.ts';
import type { Chunk } from './chunks.ts';
import type { Transaction } from './database.ts';
import { type Removable, StoreProblem } from './port.ts';

type Writing = Transaction<'readwrite'>;

/** Records and samples removed from the store. */
export interface Removed {
  readonly engines: EngineRecord[];
  readonly tests: TestRecord[];
  readonly takes: { readonly take: TakeRecord; readonly chunks: Chunk[] }[];
  readonly plugs: PlugWithPhoto[];
}

/** Key range of a take's chunks. */
export const chunksOf = (takeId: string): IDBKeyRange =>
  IDBKeyRange.bound([takeId, 0], [takeId, Number.POSITIVE_INFINITY]);

/** Removes a record with everything below it. Rejects with `missing` when there is none. */
export async function removeBranch(tx: Writing, what: Removable): Promise<Removed> {
  const found = await branchOf(tx, what);
  if (found.engines.length + found.tests.length + found.plugs.length === 0)
    throw new StoreProblem('missing', 'This is not kept here any more.');
  await Promise.all([
    ...found.engines.map(({ id }) => tx.objectStore('engines').delete(id)),
    ...found.tests.map(({ id }) => tx.objectStore('tests').delete(id)),
    ...found.takes.flatMap(({ take }) => [
      tx.objectStore('takes').delete(take.id),
      tx.objectStore('chunks').delete(chunksOf(take.id)),
    ]),
    ...found.plugs.flatMap(({ plug }) => [
      tx.objectStore('plugs').delete(plug.id),
      tx.objectStore('photos').delete(plug.id),
    ]),
  ]);
  return found;
}

async function branchOf(tx: Writing, what: Removable): Promise<Removed> {
  if ('plugId' in what) {
    const plug = await tx.objectStore('plugs').get(what.plugId);
    return { engines: [], tests: [], takes: [], plugs: await withPhotos(tx, plug ? [plug] : []) };
  }
  if ('testId' in what) {
    const test = await tx.objectStore('tests').get(what.testId);
    const tests = test ? [test] : [];
    return { engines: [], tests, takes: await takesOf(tx, tests), plugs: [] };
  }
  const [engine, tests, plugs] = await Promise.all([
    tx.objectStore('engines').get(what.engineId),
    tx.objectStore('tests').index('engineId').getAll(what.engineId),
    tx.objectStore('plugs').index('engineId').getAll(what.engineId),
  ]);
  return {
    engines: engine ? [engine] : [],
    tests,
    takes: await takesOf(tx, tests),
    plugs: await withPhotos(tx, plugs),
  };
}

async function takesOf(tx: Writing, tests: readonly TestRecord[]): Promise<Removed['takes']> {
  const byTest = await Promise.all(tests.map(({ id }) => tx.objectStore('takes').index('testId').getAll(id)));
  return Promise.all(
    byTest.flat().map(async (take) => ({
      take,
      chunks: await tx.objectStore('chunks').getAll(chunksOf(take.id)),
    })),
  );
}

function withPhotos(tx: Writing, plugs: readonly PlugRecord[]): Promise<PlugWithPhoto[]> {
  return Promise.all(
    plugs.map(async (plug) => {
      const kept = await tx.objectStore('photos').get(plug.id);
      return { plug, photo: kept && { type: kept.type, bytes: kept.bytes } };
    }),
  );
}
