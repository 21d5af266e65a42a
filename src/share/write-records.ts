/** Writes what the documents hold into the records of this device. */
import type * as Y from 'yjs';
import { documentName, removalOf } from './document.ts';
import { readCard } from './engine-document.ts';
import { standsFor } from './fates.ts';
import { addTakeWith, deletePlug, deleteTest, isShared, plugsOf, putPlug } from './local-records.ts';
import { type Settlement, samePlug, sameRecord } from './settlement.ts';
import { readTakes, readTest, readTrace } from './test-document.ts';

export async function writeEngines(work: Settlement, ids: ReadonlySet<string>): Promise<void> {
  const roots = new Set<string>();
  for (const id of ids) {
    const root = standsFor(id, work.fates);
    if (root !== null) roots.add(root);
  }
  for (const root of roots) await writeEngine(work, root);
  for (const id of ids) {
    const local = await work.tx.objectStore('engines').get(id);
    if (!local || !isShared(local) || !work.fates.has(id) || standsFor(id, work.fates) === id) continue;
    await work.tx.objectStore('engines').delete(id);
    work.changedEngines.add(id);
    for (const { plug } of await plugsOf(work.tx, id)) await deletePlug(work.tx, plug.id);
    // Those that are not shared, such as simulated ones, have no place without their engine.
    for (const test of await work.tx.objectStore('tests').index('engineId').getAll(id))
      if (!work.engineOfTest.has(test.id)) await deleteTest(work.tx, test.id);
  }
}

async function writeEngine(work: Settlement, id: string): Promise<void> {
  const { doc } = await work.load(documentName('engine', id));
  const engine = readCard(doc);
  if (!engine) return;
  const local = await work.tx.objectStore('engines').get(id);
  if (local && !isShared(local)) return;
  if (!local || !sameRecord(local, engine)) {
    await work.tx.objectStore('engines').put(engine);
    work.changedEngines.add(id);
  }
  const shown = await work.shownPlugs(id);
  const here = new Map((await plugsOf(work.tx, id)).map((one) => [one.plug.id, one]));
  for (const [plugId, entry] of shown) {
    if (!entry || samePlug(entry, here.get(plugId))) continue;
    await putPlug(work.tx, entry);
    work.changedEngines.add(id);
  }
  for (const plugId of here.keys()) {
    if (shown.get(plugId)) continue;
    await deletePlug(work.tx, plugId);
    work.changedEngines.add(id);
  }
}

export async function writeTestRecord(work: Settlement, id: string): Promise<void> {
  const name = documentName('test', id);
  if (!work.open.has(name) && !work.request.summaries.has(name)) return;
  const { doc } = await work.load(name);
  const test = readTest(doc);
  const local = await work.tx.objectStore('tests').get(id);
  if (!test || (local && !isShared(local))) return;
  const engineId = removalOf(doc) ? null : standsFor(test.engineId, work.fates);
  if (engineId === null) {
    if (!local || (work.orphans.has(id) && (await hasOpenTake(work, id)))) return;
    await deleteTest(work.tx, id);
    work.changedTests.add(id);
    work.removedTests.add(id);
    return;
  }
  const shown = { ...test, engineId };
  if (!local || !sameRecord(local, shown)) {
    await work.tx.objectStore('tests').put(shown);
    work.changedTests.add(id);
  }
  await writeTakes(work, doc, id);
}

async function hasOpenTake(work: Settlement, testId: string): Promise<boolean> {
  const takes = await work.tx.objectStore('takes').index('testId').getAll(testId);
  return takes.some(({ state }) => state === 'open');
}

async function writeTakes(work: Settlement, doc: Y.Doc, testId: string): Promise<void> {
  const here = new Map(
    (await work.tx.objectStore('takes').index('testId').getAll(testId)).map((take) => [take.id, take]),
  );
  for (const [takeId, shared] of readTakes(doc)) {
    const local = here.get(takeId);
    if (local && (local.state === 'open' || local.state === shared.take.state)) continue;
    if (local) await work.tx.objectStore('takes').put({ ...local, state: shared.take.state });
    else {
      const trace = readTrace(doc, shared);
      if (!trace || (await work.tx.objectStore('takes').getKey(takeId)) !== undefined) continue;
      await addTakeWith(work.tx, { ...shared.take, testId }, trace);
    }
    work.changedTests.add(testId);
  }
}
