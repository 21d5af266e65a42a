/**
 * Brings the records of this device and the documents together, in one transaction: changes made here are written into
 * the documents, updates from elsewhere are merged, and the result is written back. The stored document is what the
 * records were when the two last agreed, so a difference is a change made here.
 */
import * as Y from 'yjs';
import { canonicalJson } from '../../worker/file/session/canonical-json.ts';
import type { DocumentSummary } from '../store/database.ts';
import {
  documentName,
  documentOf,
  parseDocumentName,
  removalOf,
  setRemoval,
  vectorDigest,
} from './document.ts';
import { listTest, type PlugEntry, readCard, readPlugs, writeCard, writePlug } from './engine-document.ts';
import { standsFor } from './fates.ts';
import {
  addTakeWith,
  deletePlug,
  deleteTest,
  engineMark,
  isShared,
  NO_MARK,
  plugsOf,
  putPlug,
  testMark,
  traceIn,
  type Writing,
} from './local-records.ts';
import {
  addTake,
  hasTake,
  readTakes,
  readTest,
  readTrace,
  setTakeState,
  writeTest,
} from './test-document.ts';

/** Summaries by document name. */
type Summaries = ReadonlyMap<string, DocumentSummary>;

export interface SettleRequest {
  /** Documents to look at. */
  readonly names: Iterable<string>;
  /** Updates from elsewhere, checked with `isUpdate`. */
  readonly updates?: ReadonlyMap<string, readonly Uint8Array[]> | undefined;
  readonly summaries: Summaries;
  /** Time of a removal found now, ISO 8601. */
  readonly now: string;
  /** As in `openDocuments`. */
  readonly nextClientId?: (() => number) | undefined;
}

export interface Settled {
  /** New summaries of the documents that were looked at. */
  readonly summaries: Summaries;
  /** Documents that differ from before, and those of them that were changed on this device. */
  readonly changedDocuments: readonly string[];
  readonly ownChanges: readonly string[];
  /** Records on this device that were changed by an update. */
  readonly changedEngines: readonly string[];
  readonly changedTests: readonly string[];
  readonly removedTests: readonly string[];
}

interface Open {
  readonly doc: Y.Doc;
  readonly stateBefore: Uint8Array | null;
  isChanged: boolean;
}

/** Throws `CaptureInProgress`; the transaction then changes nothing. */
export async function settle(tx: Writing, request: SettleRequest): Promise<Settled> {
  const work = new Settlement(tx, request);
  return work.run();
}

class Settlement {
  readonly open = new Map<string, Open>();
  readonly fates = new Map<string, DocumentSummary['removal']>();
  readonly changedEngines = new Set<string>();
  readonly changedTests = new Set<string>();
  readonly removedTests = new Set<string>();
  readonly ownChanges = new Set<string>();
  /** Tests of this device whose engine is not on it, but has a document. */
  readonly orphans = new Set<string>();
  /** Engine that a test's document names, by test. */
  readonly engineOfTest = new Map<string, string>();
  /** For which engine each one stood when the records and documents last agreed. */
  readonly standingAtFirst: ReadonlyMap<string, string | null>;

  constructor(
    readonly tx: Writing,
    readonly request: SettleRequest,
  ) {
    for (const [name, { engineId, removal, isWhole }] of request.summaries) {
      const parsed = parseDocumentName(name);
      if (parsed?.kind === 'engine' && isWhole) this.fates.set(parsed.id, removal);
      if (parsed?.kind === 'test' && engineId !== undefined) this.engineOfTest.set(parsed.id, engineId);
    }
    this.standingAtFirst = this.standing();
  }

  async run(): Promise<Settled> {
    const engineIds = new Set<string>();
    const testIds = new Set<string>();
    for (const name of [...this.request.names, ...(this.request.updates?.keys() ?? [])]) {
      const parsed = parseDocumentName(name);
      if (parsed) (parsed.kind === 'engine' ? engineIds : testIds).add(parsed.id);
    }
    for (const testId of testIds) {
      const local = await this.tx.objectStore('tests').get(testId);
      for (const engineId of [local?.engineId, this.engineOfTest.get(testId)])
        if (engineId !== undefined) engineIds.add(engineId);
    }
    // Engines first: a test that is missing together with its engine was not removed for itself.
    await this.gatherEngines(engineIds);
    for (const testId of testIds) await this.gatherTest(testId);

    const standingBefore = this.standing();
    for (const [name, { isChanged }] of this.open) if (isChanged) this.ownChanges.add(name);
    const updated = await this.applyUpdates();
    const moved = this.movedSince(this.standingAtFirst);
    for (const id of moved) engineIds.add(id);
    const following = await this.testsOf(moved, testIds);
    for (const testId of following) {
      // As the engines were before the updates: the records of this device are still of then.
      await this.gatherTest(testId, standingBefore);
      testIds.add(testId);
    }
    if (updated || following.size > 0 || moved.size > 0 || this.orphans.size > 0) {
      await this.writeEngines(engineIds);
      for (const testId of testIds) await this.writeTest(testId);
    }
    return this.store();
  }

  async load(name: string): Promise<Open> {
    const known = this.open.get(name);
    if (known) return known;
    const stored = await this.tx.objectStore('documents').get(name);
    const opened = {
      doc: documentOf(stored?.state, this.request.nextClientId?.()),
      stateBefore: stored?.state ?? null,
      isChanged: false,
    };
    opened.doc.on('update', () => {
      opened.isChanged = true;
    });
    this.open.set(name, opened);
    return opened;
  }

  standing(): ReadonlyMap<string, string | null> {
    return new Map([...this.fates.keys()].map((id) => [id, standsFor(id, this.fates)]));
  }

  movedSince(before: ReadonlyMap<string, string | null>): Set<string> {
    const moved = new Set<string>();
    for (const [id, now] of this.standing()) if (before.get(id) !== now) moved.add(id);
    return moved;
  }

  /** Tests of engines, both of documents and of this device, that are not in `except`. */
  async testsOf(engineIds: ReadonlySet<string>, except: ReadonlySet<string>): Promise<Set<string>> {
    const found = new Set<string>();
    for (const [id, engineId] of this.engineOfTest) if (engineIds.has(engineId)) found.add(id);
    for (const engineId of engineIds)
      for (const id of await this.tx.objectStore('tests').index('engineId').getAllKeys(engineId))
        found.add(id);
    return new Set([...found].filter((id) => !except.has(id)));
  }

  /**
   * Gathers the engines, and adds to them those that one of them was, is or will be merged into: they are written too,
   * so changes of their cards and plugs have to be in the documents before.
   */
  async gatherEngines(ids: Set<string>): Promise<void> {
    const expected = await this.expectedFates();
    // A set also visits what is added meanwhile.
    for (const id of ids) {
      const first = this.fates.get(id)?.into;
      await this.gatherEngine(id);
      for (const into of [first, this.fates.get(id)?.into, expected.get(id)?.into])
        if (into !== undefined) ids.add(into);
    }
  }

  /** Removals as the updates alone make them. */
  async expectedFates(): Promise<ReadonlyMap<string, DocumentSummary['removal']>> {
    const expected = new Map<string, DocumentSummary['removal']>();
    for (const [name, updates] of this.request.updates ?? []) {
      const parsed = parseDocumentName(name);
      if (parsed?.kind !== 'engine') continue;
      const doc = documentOf((await this.load(name)).stateBefore);
      for (const update of updates) Y.applyUpdate(doc, update);
      expected.set(parsed.id, removalOf(doc));
      doc.destroy();
    }
    return expected;
  }

  async gatherEngine(id: string): Promise<void> {
    const local = await this.tx.objectStore('engines').get(id);
    if (local && !isShared(local)) return;
    const name = documentName('engine', id);
    const isKnown = this.request.summaries.has(name);
    if (!local && !isKnown) return;
    const { doc } = await this.load(name);
    if (local) {
      const plugs = await plugsOf(this.tx, id);
      const isVisible = readCard(doc) !== null && standsFor(id, this.fates) === id;
      // The removal was undone here.
      if (!isVisible && removalOf(doc)) {
        setRemoval(doc, null);
        this.fates.set(id, null);
      }
      const shown = await this.shownPlugs(id);
      doc.transact(() => {
        writeCard(doc, local);
        this.fates.set(id, removalOf(doc));
        const here = new Map<string, PlugEntry>(plugs.map((one) => [one.plug.id, one]));
        for (const [plugId, entry] of shown) if (entry && !here.has(plugId)) writePlug(doc, plugId, null);
        for (const [plugId, entry] of here)
          if (!entry || !samePlug(entry, shown.get(plugId))) writePlug(doc, plugId, entry);
      });
    } else if (readCard(doc) && standsFor(id, this.fates) === id) {
      const into = await this.mergedInto(id);
      setRemoval(doc, { at: this.request.now, ...(into !== undefined && { into }) });
      this.fates.set(id, removalOf(doc));
    }
  }

  /** The engine that now has the tests or plugs of a missing one. */
  async mergedInto(id: string): Promise<string | undefined> {
    const candidates: string[] = [];
    for (const [testId, engineId] of this.engineOfTest) {
      if (standsFor(engineId, this.fates) !== id) continue;
      const test = await this.tx.objectStore('tests').get(testId);
      if (test && test.engineId !== id) candidates.push(test.engineId);
      if (candidates.length > 0) break;
    }
    for (const plugId of (await this.shownPlugs(id)).keys()) {
      const plug = await this.tx.objectStore('plugs').get(plugId);
      if (plug && plug.engineId !== id) candidates.push(plug.engineId);
    }
    for (const candidate of candidates) {
      const engine = await this.tx.objectStore('engines').get(candidate);
      if (engine && isShared(engine)) return candidate;
    }
    return undefined;
  }

  /** Plug inspections of an engine and of those merged into it. A removal counts for all of them. */
  async shownPlugs(id: string): Promise<ReadonlyMap<string, PlugEntry>> {
    const shown = new Map<string, PlugEntry>();
    const members = [...this.fates.keys()].filter((one) => one === id || standsFor(one, this.fates) === id);
    // Its own document last: that counts.
    for (const member of [...members.filter((one) => one !== id).sort(), id]) {
      const { doc } = await this.load(documentName('engine', member));
      for (const [plugId, entry] of readPlugs(doc)) {
        if (member !== id && shown.get(plugId) === null) continue;
        shown.set(plugId, entry && { ...entry, plug: { ...entry.plug, engineId: id } });
      }
    }
    return shown;
  }

  async gatherTest(id: string, standing = this.standing()): Promise<void> {
    const local = await this.tx.objectStore('tests').get(id);
    const engine = local && (await this.tx.objectStore('engines').get(local.engineId));
    if (local && (!isShared(local) || (engine ? !isShared(engine) : !this.fates.has(local.engineId)))) return;
    // The removal of a test was undone after its engine was merged or removed.
    if (local && !engine) this.orphans.add(id);
    const name = documentName('test', id);
    if (!local && !this.request.summaries.has(name)) return;
    const { doc } = await this.load(name);
    const before = readTest(doc);
    if (!local) {
      // Also before the engines changed: it was not shown, and so not removed, if its engine has only come back now.
      const wasShown = [this.standingAtFirst, standing].every(
        (one) => (one.get(before?.engineId ?? '') ?? null) !== null,
      );
      if (before && !removalOf(doc) && wasShown) setRemoval(doc, { at: this.request.now });
      return;
    }
    const takes = await this.tx.objectStore('takes').index('testId').getAll(id);
    const traces = new Map(
      await Promise.all(
        takes
          .filter((take) => take.state !== 'open' && !hasTake(doc, take.id))
          .map(async (take) => [take.id, await traceIn(this.tx, take.id)] as const),
      ),
    );
    // The document may name an engine that was merged into this one: it then keeps that, for the undo of the merge.
    const isSame = [this.standingAtFirst, standing].some(
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
    this.engineOfTest.set(id, engineId);
    const { doc: engineDoc } = await this.load(documentName('engine', local.engineId));
    listTest(engineDoc, id);
  }

  async applyUpdates(): Promise<boolean> {
    const { updates } = this.request;
    for (const [name, list] of updates ?? []) {
      const parsed = parseDocumentName(name);
      if (!parsed) continue;
      const { doc } = await this.load(name);
      for (const update of list) Y.applyUpdate(doc, update);
      if (parsed.kind === 'engine' && readCard(doc)) this.fates.set(parsed.id, removalOf(doc));
      const engineId = parsed.kind === 'test' ? readTest(doc)?.engineId : undefined;
      if (engineId !== undefined) this.engineOfTest.set(parsed.id, engineId);
    }
    return (updates?.size ?? 0) > 0;
  }

  async writeEngines(ids: ReadonlySet<string>): Promise<void> {
    const roots = new Set<string>();
    for (const id of ids) {
      const root = standsFor(id, this.fates);
      if (root !== null) roots.add(root);
    }
    for (const root of roots) await this.writeEngine(root);
    for (const id of ids) {
      const local = await this.tx.objectStore('engines').get(id);
      if (!local || !isShared(local) || !this.fates.has(id) || standsFor(id, this.fates) === id) continue;
      await this.tx.objectStore('engines').delete(id);
      this.changedEngines.add(id);
      for (const { plug } of await plugsOf(this.tx, id)) await deletePlug(this.tx, plug.id);
      // Those that are not shared, such as simulated ones, have no place without their engine.
      for (const test of await this.tx.objectStore('tests').index('engineId').getAll(id))
        if (!this.engineOfTest.has(test.id)) await deleteTest(this.tx, test.id);
    }
  }

  async writeEngine(id: string): Promise<void> {
    const { doc } = await this.load(documentName('engine', id));
    const engine = readCard(doc);
    if (!engine) return;
    const local = await this.tx.objectStore('engines').get(id);
    if (local && !isShared(local)) return;
    if (!local || !sameRecord(local, engine)) {
      await this.tx.objectStore('engines').put(engine);
      this.changedEngines.add(id);
    }
    const shown = await this.shownPlugs(id);
    const here = new Map((await plugsOf(this.tx, id)).map((one) => [one.plug.id, one]));
    for (const [plugId, entry] of shown) {
      if (!entry || samePlug(entry, here.get(plugId))) continue;
      await putPlug(this.tx, entry);
      this.changedEngines.add(id);
    }
    for (const plugId of here.keys()) {
      if (shown.get(plugId)) continue;
      await deletePlug(this.tx, plugId);
      this.changedEngines.add(id);
    }
  }

  async writeTest(id: string): Promise<void> {
    const name = documentName('test', id);
    if (!this.open.has(name) && !this.request.summaries.has(name)) return;
    const { doc } = await this.load(name);
    const test = readTest(doc);
    const local = await this.tx.objectStore('tests').get(id);
    if (!test || (local && !isShared(local))) return;
    const engineId = removalOf(doc) ? null : standsFor(test.engineId, this.fates);
    if (engineId === null) {
      if (!local || (this.orphans.has(id) && (await this.hasOpenTake(id)))) return;
      await deleteTest(this.tx, id);
      this.changedTests.add(id);
      this.removedTests.add(id);
      return;
    }
    const shown = { ...test, engineId };
    if (!local || !sameRecord(local, shown)) {
      await this.tx.objectStore('tests').put(shown);
      this.changedTests.add(id);
    }
    await this.writeTakes(doc, id);
  }

  async hasOpenTake(testId: string): Promise<boolean> {
    const takes = await this.tx.objectStore('takes').index('testId').getAll(testId);
    return takes.some(({ state }) => state === 'open');
  }

  async writeTakes(doc: Y.Doc, testId: string): Promise<void> {
    const here = new Map(
      (await this.tx.objectStore('takes').index('testId').getAll(testId)).map((take) => [take.id, take]),
    );
    for (const [takeId, shared] of readTakes(doc)) {
      const local = here.get(takeId);
      if (local && (local.state === 'open' || local.state === shared.take.state)) continue;
      if (local) await this.tx.objectStore('takes').put({ ...local, state: shared.take.state });
      else {
        const trace = readTrace(doc, shared);
        if (!trace || (await this.tx.objectStore('takes').getKey(takeId)) !== undefined) continue;
        await addTakeWith(this.tx, { ...shared.take, testId }, trace);
      }
      this.changedTests.add(testId);
    }
  }

  async store(): Promise<Settled> {
    const summaries = new Map<string, DocumentSummary>();
    const changedDocuments: string[] = [];
    for (const [name, { doc, isChanged }] of this.open) {
      const parsed = parseDocumentName(name);
      const isNew = !this.request.summaries.has(name);
      if (!parsed || (isNew && !isChanged)) continue;
      if (isChanged) {
        await this.tx.objectStore('documents').put({ name, state: Y.encodeStateAsUpdate(doc) });
        changedDocuments.push(name);
      }
      const record = parsed.kind === 'engine' ? readCard(doc) : readTest(doc);
      const summary: DocumentSummary = {
        name,
        digest: vectorDigest(Y.encodeStateVector(doc)),
        mark: await this.markOf(parsed.kind, parsed.id),
        engineId: record && 'engineId' in record ? record.engineId : undefined,
        removal: removalOf(doc),
        isWhole: record !== null,
      };
      summaries.set(name, summary);
      await this.tx.objectStore('summaries').put(summary);
      doc.destroy();
    }
    return {
      summaries,
      changedDocuments,
      ownChanges: [...this.ownChanges],
      changedEngines: [...this.changedEngines],
      changedTests: [...this.changedTests],
      removedTests: [...this.removedTests],
    };
  }

  async markOf(kind: 'engine' | 'test', id: string): Promise<string> {
    if (kind === 'engine') {
      const engine = await this.tx.objectStore('engines').get(id);
      const plugs = await this.tx.objectStore('plugs').index('engineId').getAll(id);
      return engine ? engineMark(engine, plugs) : NO_MARK;
    }
    const test = await this.tx.objectStore('tests').get(id);
    const takes = await this.tx.objectStore('takes').index('testId').getAll(id);
    return test ? testMark(test, takes) : NO_MARK;
  }
}

/** Whether two records have the same fields. */
const sameRecord = (a: object, b: object): boolean => canonicalJson(a) === canonicalJson(b);

function samePlug(a: NonNullable<PlugEntry>, b: PlugEntry | undefined): boolean {
  if (!b || !sameRecord(a.plug, b.plug)) return false;
  const [x, y] = [a.photo?.bytes, b.photo?.bytes];
  return (
    x === y ||
    (x !== undefined && y !== undefined && x.length === y.length && x.every((byte, i) => byte === y[i]))
  );
}
