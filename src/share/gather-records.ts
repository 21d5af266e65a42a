/** Writes changes of the records of this device into the documents. */
import * as Y from 'yjs';
import type { DocumentSummary } from '../store/database.ts';
import { documentName, documentOf, parseDocumentName, removalOf, setRemoval } from './document.ts';
import { listTest, type PlugEntry, readCard, writeCard, writePlug } from './engine-document.ts';
import { standsFor } from './fates.ts';
import { isShared, plugsOf, traceIn } from './local-records.ts';
import { type Settlement, samePlug } from './settlement.ts';
import { addTake, hasTake, readTest, setTakeState, writeTest } from './test-document.ts';

/**
 * Gathers the engines, and adds to them those that one of them was, is or will be merged into: they are written too,
 * so changes of their cards and plugs have to be in the documents before.
 */
export async function gatherEngines(work: Settlement, ids: Set<string>): Promise<void> {
  const expected = await expectedFates(work);
  // A set also visits what is added meanwhile.
  for (const id of ids) {
    const first = work.fates.get(id)?.into;
    await gatherEngine(work, id);
    for (const into of [first, work.fates.get(id)?.into, expected.get(id)?.into])
      if (into !== undefined) ids.add(into);
  }
}

/** Removals as the updates alone make them. */
async function expectedFates(work: Settlement): Promise<ReadonlyMap<string, DocumentSummary['removal']>> {
  const expected = new Map<string, DocumentSummary['removal']>();
  for (const [name, updates] of work.request.updates ?? []) {
    const parsed = parseDocumentName(name);
    if (parsed?.kind !== 'engine') continue;
    const doc = documentOf((await work.load(name)).stateBefore);
    for (const update of updates) Y.applyUpdate(doc, update);
    expected.set(parsed.id, removalOf(doc));
    doc.destroy();
  }
  return expected;
}

async function gatherEngine(work: Settlement, id: string): Promise<void> {
  const local = await work.tx.objectStore('engines').get(id);
  if (local && !isShared(local)) return;
  const name = documentName('engine', id);
  const isKnown = work.request.summaries.has(name);
  if (!local && !isKnown) return;
  const { doc } = await work.load(name);
  if (local) {
    const plugs = await plugsOf(work.tx, id);
    const isVisible = readCard(doc) !== null && standsFor(id, work.fates) === id;
    // The removal was undone here.
    if (!isVisible && removalOf(doc)) {
      setRemoval(doc, null);
      work.fates.set(id, null);
    }
    const shown = await work.shownPlugs(id);
    doc.transact(() => {
      writeCard(doc, local);
      work.fates.set(id, removalOf(doc));
      const here = new Map<string, PlugEntry>(plugs.map((one) => [one.plug.id, one]));
      for (const [plugId, entry] of shown) if (entry && !here.has(plugId)) writePlug(doc, plugId, null);
      for (const [plugId, entry] of here)
        if (!entry || !samePlug(entry, shown.get(plugId))) writePlug(doc, plugId, entry);
    });
  } else if (readCard(doc) && standsFor(id, work.fates) === id) {
    const into = await mergedInto(work, id);
    setRemoval(doc, { at: work.request.now, ...(into !== undefined && { into }) });
    work.fates.set(id, removalOf(doc));
  }
}

/** The engine that now has the tests or plugs of a missing one. */
async function mergedInto(work: Settlement, id: string): Promise<string | undefined> {
  const candidates: string[] = [];
  for (const [testId, engineId] of work.engineOfTest) {
    if (standsFor(engineId, work.fates) !== id) continue;
    const test = await work.tx.objectStore('tests').get(testId);
    if (test && test.engineId !== id) candidates.push(test.engineId);
    if (candidates.length > 0) break;
  }
  for (const plugId of (await work.shownPlugs(id)).keys()) {
    const plug = await work.tx.objectStore('plugs').get(plugId);
    if (plug && plug.engineId !== id) candidates.push(plug.engineId);
  }
  for (const candidate of candidates) {
    const engine = await work.tx.objectStore('engines').get(candidate);
    if (engine && isShared(engine)) return candidate;
  }
  return undefined;
}

export async function gatherTest(work: Settlement, id: string, standing = work.standing()): Promise<void> {
  const local = await work.tx.objectStore('tests').get(id);
  const engine = local && (await work.tx.objectStore('engines').get(local.engineId));
  if (local && (!isShared(local) || (engine ? !isShared(engine) : !work.fates.has(local.engineId)))) return;
  // The removal of a test was undone after its engine was merged or removed.
  if (local && !engine) work.orphans.add(id);
  const name = documentName('test', id);
  if (!local && !work.request.summaries.has(name)) return;
  const { doc } = await work.load(name);
  const before = readTest(doc);
  if (!local) {
    // Also before the engines changed: it was not shown, and so not removed, if its engine has only come back now.
    const wasShown = [work.standingAtFirst, standing].every(
      (one) => (one.get(before?.engineId ?? '') ?? null) !== null,
    );
    if (before && !removalOf(doc) && wasShown) setRemoval(doc, { at: work.request.now });
    return;
  }
  const takes = await work.tx.objectStore('takes').index('testId').getAll(id);
  const traces = new Map(
    await Promise.all(
      takes
        .filter((take) => take.state !== 'open' && !hasTake(doc, take.id))
        .map(async (take) => [take.id, await traceIn(work.tx, take.id)] as const),
    ),
  );
  // The document may name an engine that was merged into this one: it then keeps that, for the undo of the merge.
  const isSame = [work.standingAtFirst, standing].some(
    (one) => one.get(before?.engineId ?? '') === local.engineId,
  );
  const engineId = before && isSame ? before.engineId : local.engineId;
  doc.transact(() => {
    if (removalOf(doc)) setRemoval(doc, null);
    writeTest(doc, { ...local, engineId });
    for (const take of takes) {
      if (take.state === 'open') continue;
      const trace = traces.get(take.id);
      if (trace) addTake(doc, take, trace);
      else setTakeState(doc, take.id, take.state);
    }
  });
  work.engineOfTest.set(id, engineId);
  const { doc: engineDoc } = await work.load(documentName('engine', local.engineId));
  listTest(engineDoc, id);
}
