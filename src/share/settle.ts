/**
 * Brings the records of this device and the documents together, in one transaction: changes made here are written into
 * the documents, updates from elsewhere are merged, and the result is written back. The stored document is what the
 * records were when the two last agreed, so a difference is a change made here.
 */
import * as Y from 'yjs';
import type { DocumentSummary } from '../store/database.ts';
import { parseDocumentName, removalOf, vectorDigest } from './document.ts';
import { readCard } from './engine-document.ts';
import { gatherEngines, gatherTest } from './gather-records.ts';
import { engineMark, NO_MARK, testMark, type Writing } from './local-records.ts';
import { type Settled, Settlement, type SettleRequest } from './settlement.ts';
import { readTest } from './test-document.ts';
import { writeEngines, writeTestRecord } from './write-records.ts';

/** Throws `CaptureInProgress`; the transaction then changes nothing. */
export async function settle(tx: Writing, request: SettleRequest): Promise<Settled> {
  const work = new Settlement(tx, request);
  const engineIds = new Set<string>();
  const testIds = new Set<string>();
  for (const name of [...work.request.names, ...(work.request.updates?.keys() ?? [])]) {
    const parsed = parseDocumentName(name);
    if (parsed) (parsed.kind === 'engine' ? engineIds : testIds).add(parsed.id);
  }
  for (const testId of testIds) {
    const local = await work.tx.objectStore('tests').get(testId);
    for (const engineId of [local?.engineId, work.engineOfTest.get(testId)])
      if (engineId !== undefined) engineIds.add(engineId);
  }
  // Engines first: a test that is missing together with its engine was not removed for itself.
  await gatherEngines(work, engineIds);
  for (const testId of testIds) await gatherTest(work, testId);

  const standingBefore = work.standing();
  for (const [name, { isChanged }] of work.open) if (isChanged) work.ownChanges.add(name);
  const updated = await applyUpdates(work);
  const moved = movedSince(work, work.standingAtFirst);
  for (const id of moved) engineIds.add(id);
  const following = await testsOf(work, moved, testIds);
  for (const testId of following) {
    // As the engines were before the updates: the records of this device are still of then.
    await gatherTest(work, testId, standingBefore);
    testIds.add(testId);
  }
  if (updated || following.size > 0 || moved.size > 0 || work.orphans.size > 0) {
    await writeEngines(work, engineIds);
    for (const testId of testIds) await writeTestRecord(work, testId);
  }
  return store(work);
}

function movedSince(work: Settlement, before: ReadonlyMap<string, string | null>): Set<string> {
  const moved = new Set<string>();
  for (const [id, now] of work.standing()) if (before.get(id) !== now) moved.add(id);
  return moved;
}

/** Tests of engines, both of documents and of this device, that are not in `except`. */
async function testsOf(
  work: Settlement,
  engineIds: ReadonlySet<string>,
  except: ReadonlySet<string>,
): Promise<Set<string>> {
  const found = new Set<string>();
  for (const [id, engineId] of work.engineOfTest) if (engineIds.has(engineId)) found.add(id);
  for (const engineId of engineIds)
    for (const id of await work.tx.objectStore('tests').index('engineId').getAllKeys(engineId)) found.add(id);
  return new Set([...found].filter((id) => !except.has(id)));
}

async function applyUpdates(work: Settlement): Promise<boolean> {
  const { updates } = work.request;
  for (const [name, list] of updates ?? []) {
    const parsed = parseDocumentName(name);
    if (!parsed) continue;
    const { doc } = await work.load(name);
    for (const update of list) Y.applyUpdate(doc, update);
    if (parsed.kind === 'engine' && readCard(doc)) work.fates.set(parsed.id, removalOf(doc));
    const engineId = parsed.kind === 'test' ? readTest(doc)?.engineId : undefined;
    if (engineId !== undefined) work.engineOfTest.set(parsed.id, engineId);
  }
  return (updates?.size ?? 0) > 0;
}

async function store(work: Settlement): Promise<Settled> {
  const summaries = new Map<string, DocumentSummary>();
  const changedDocuments: string[] = [];
  for (const [name, { doc, isChanged }] of work.open) {
    const parsed = parseDocumentName(name);
    const isNew = !work.request.summaries.has(name);
    if (!parsed || (isNew && !isChanged)) continue;
    if (isChanged) {
      await work.tx.objectStore('documents').put({ name, state: Y.encodeStateAsUpdate(doc) });
      changedDocuments.push(name);
    }
    const record = parsed.kind === 'engine' ? readCard(doc) : readTest(doc);
    const summary: DocumentSummary = {
      name,
      digest: vectorDigest(Y.encodeStateVector(doc)),
      mark: await markOf(work, parsed.kind, parsed.id),
      engineId: record && 'engineId' in record ? record.engineId : undefined,
      removal: removalOf(doc),
      isWhole: record !== null,
    };
    summaries.set(name, summary);
    await work.tx.objectStore('summaries').put(summary);
    doc.destroy();
  }
  return {
    summaries,
    changedDocuments,
    ownChanges: [...work.ownChanges],
    changedEngines: [...work.changedEngines],
    changedTests: [...work.changedTests],
    removedTests: [...work.removedTests],
  };
}

async function markOf(work: Settlement, kind: 'engine' | 'test', id: string): Promise<string> {
  if (kind === 'engine') {
    const engine = await work.tx.objectStore('engines').get(id);
    const plugs = await work.tx.objectStore('plugs').index('engineId').getAll(id);
    return engine ? engineMark(engine, plugs) : NO_MARK;
  }
  const test = await work.tx.objectStore('tests').get(id);
  const takes = await work.tx.objectStore('takes').index('testId').getAll(id);
  return test ? testMark(test, takes) : NO_MARK;
}
