/** Merging two records of the same engine, and undoing it. Tests and plugs change their engine; takes are untouched. */

import type { EngineRecord, Origin } from '../../worker/file/records.ts';
import type { Transaction } from './database.ts';
import { type Merge, StoreProblem } from './port.ts';

type Writing = Transaction<'readwrite'>;

const isReal = (origin: Origin): boolean => origin !== 'simulated' && origin !== 'example';

/** Whether two engines may become one: both real, or both simulated. Examples are never merged. */
export const mayMerge = (a: EngineRecord, b: EngineRecord): boolean =>
  a.id !== b.id && a.origin !== 'example' && b.origin !== 'example' && isReal(a.origin) === isReal(b.origin);

/** As `TestStore.mergeEngines`, in a transaction. */
export async function mergeEngines(tx: Writing, kept: EngineRecord, goneId: string): Promise<Merge> {
  const [before, gone, tests, plugs] = await Promise.all([
    tx.objectStore('engines').get(kept.id),
    tx.objectStore('engines').get(goneId),
    tx.objectStore('tests').index('engineId').getAll(goneId),
    tx.objectStore('plugs').index('engineId').getAll(goneId),
  ]);
  if (!before || !gone) throw new StoreProblem('missing', 'This engine is not kept here any more.');
  if (!mayMerge(before, gone)) throw new StoreProblem('unexpected', 'These engines are of different kinds.');
  await Promise.all([
    ...tests.map((test) => tx.objectStore('tests').put({ ...test, engineId: kept.id })),
    ...plugs.map((plug) => tx.objectStore('plugs').put({ ...plug, engineId: kept.id })),
    tx.objectStore('engines').put(kept),
    tx.objectStore('engines').delete(goneId),
  ]);
  const ids = (records: readonly { readonly id: string }[]) => records.map(({ id }) => id);
  return { kept, before, gone, testIds: ids(tests), plugIds: ids(plugs) };
}

/** As `TestStore.undoMerge`, in a transaction. */
export async function undoMerge(tx: Writing, merge: Merge): Promise<void> {
  const { kept, before, gone } = merge;
  const engines = tx.objectStore('engines');
  // Rejects when this id exists: the merge was undone already.
  await engines.add(gone);
  const now = await engines.get(kept.id);
  // A card that was edited since stays as it is.
  if (now && JSON.stringify(now) === JSON.stringify(kept)) await engines.put(before);
  for (const id of merge.testIds) {
    const test = await tx.objectStore('tests').get(id);
    if (test?.engineId === kept.id) await tx.objectStore('tests').put({ ...test, engineId: gone.id });
  }
  for (const id of merge.plugIds) {
    const plug = await tx.objectStore('plugs').get(id);
    if (plug?.engineId === kept.id) await tx.objectStore('plugs').put({ ...plug, engineId: gone.id });
  }
}
