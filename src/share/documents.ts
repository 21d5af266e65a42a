/** The documents of this device, stored beside its records. Errors are `StoreProblem`s. */
import * as Y from 'yjs';
import type { Database, DocumentSummary, Names } from '../store/database.ts';
import { documentName, documentOf, isUpdate, parseDocumentName, setRemoval } from './document.ts';
import { CaptureInProgress, engineMark, isShared, testMark } from './local-records.ts';
import { settle } from './settle.ts';
import type { Settled, SettleRequest } from './settlement.ts';

const ALL: Names[] = ['engines', 'tests', 'takes', 'chunks', 'plugs', 'photos', 'documents', 'summaries'];
/** Documents in one transaction, and bytes of their updates. */
const BATCH = { documents: 48, bytes: 8e6 };

/** An update of one document. */
export interface DocumentUpdate {
  readonly name: string;
  readonly update: Uint8Array;
}

/** What a step changed on this device. */
export interface Changes {
  readonly documents: ReadonlySet<string>;
  /** Those of `documents` into which changes made on this device were written. */
  readonly ownChanges: ReadonlySet<string>;
  readonly engines: ReadonlySet<string>;
  readonly tests: ReadonlySet<string>;
  readonly removedTests: ReadonlySet<string>;
  /** Not merged: a capture in progress would lose its test. They have to be offered again. */
  readonly deferred: ReadonlySet<string>;
  /** Not merged: unusable bytes or name. */
  readonly refused: ReadonlySet<string>;
}

/** A removed engine or test whose document still holds it. */
export interface RemovedRecord {
  readonly name: string;
  readonly at: string;
}

export interface Documents {
  /**
   * Writes changes of the records into the documents. Without `names`, all records are compared with their documents;
   * a record that was never shared gets one.
   */
  gather(names?: Iterable<string>): Promise<Changes>;
  /** Merges updates in any order, also repeated ones, after the changes made here. */
  merge(updates: readonly DocumentUpdate[]): Promise<Changes>;
  /** Digest of the state vector of each document. */
  digests(): ReadonlyMap<string, string>;
  /** `null` when there is no such document. */
  state(name: string): Promise<Uint8Array | null>;
  /** Documents that are removed, newest first. Those merged into another are left out. */
  removed(): readonly RemovedRecord[];
  /** Undoes a removal, also one made on another device. */
  restore(name: string): Promise<Changes>;
}

/**
 * Opens the documents. `now`: ISO 8601. Several tabs and workers may have them open. `nextClientId`: a new number for each
 * document that is opened to be changed, as in `documentOf`; for tests that must repeat exactly.
 */
export async function openDocuments(
  database: Database,
  now: () => string,
  nextClientId?: () => number,
): Promise<Documents> {
  const summaries = new Map<string, DocumentSummary>();
  let revision = '';
  const reload = async (): Promise<void> => {
    const stored = await database.read(['summaries'], (tx) => tx.objectStore('summaries').getAll());
    summaries.clear();
    for (const one of stored) summaries.set(one.name, one);
    revision = summaries.get(REVISION)?.digest ?? '';
    summaries.delete(REVISION);
  };
  await reload();

  const run = async (
    request: Pick<SettleRequest, 'names' | 'updates'>,
    changes: Collected,
  ): Promise<void> => {
    for (;;) {
      const settled = await database.write(ALL, async (tx) => {
        const stored = await tx.objectStore('summaries').get(REVISION);
        if ((stored?.digest ?? '') !== revision) return 'outdated';
        const done = await settle(tx, { ...request, summaries, now: now(), nextClientId });
        const next = String(Number(revision) + 1);
        await tx.objectStore('summaries').put({ ...NO_SUMMARY, digest: next });
        return { ...done, revision: next };
      });
      if (settled === 'outdated') {
        // Another tab has written meanwhile.
        await reload();
        continue;
      }
      revision = settled.revision;
      for (const [name, summary] of settled.summaries) summaries.set(name, summary);
      collect(changes, settled);
      return;
    }
  };

  const inBatches = async (names: readonly string[], changes: Collected): Promise<void> => {
    for (let at = 0; at < names.length; at += BATCH.documents)
      await run({ names: names.slice(at, at + BATCH.documents) }, changes);
  };

  const mergeBatch = async (batch: ReadonlyMap<string, Uint8Array[]>, changes: Collected): Promise<void> => {
    try {
      await run({ names: [], updates: batch }, changes);
    } catch (cause) {
      if (!isDeferral(cause)) throw cause;
      if (batch.size === 1) for (const name of batch.keys()) changes.deferred.add(name);
      else for (const [name, updates] of batch) await mergeBatch(new Map([[name, updates]]), changes);
    }
  };

  /** Names of records that differ from what the documents were last compared with. */
  const differing = async (): Promise<string[]> => {
    const { engines, plugs, tests, takes } = await database.read(
      ['engines', 'plugs', 'tests', 'takes'],
      async (tx) => ({
        engines: await tx.objectStore('engines').getAll(),
        plugs: await tx.objectStore('plugs').getAll(),
        tests: await tx.objectStore('tests').getAll(),
        takes: await tx.objectStore('takes').getAll(),
      }),
    );
    const plugsOf = grouped(plugs, ({ engineId }) => engineId);
    const takesOf = grouped(takes, ({ testId }) => testId);
    const shared = new Set(engines.filter(isShared).map(({ id }) => id));
    const marks = new Map<string, string>();
    for (const engine of engines.filter(isShared))
      marks.set(`engine-${engine.id}`, engineMark(engine, plugsOf.get(engine.id) ?? []));
    const present = new Set(engines.map(({ id }) => id));
    // A test may outlive its engine: its removal was undone after the engine was merged or removed.
    const hasEngine = (id: string): boolean =>
      shared.has(id) || (!present.has(id) && summaries.has(documentName('engine', id)));
    for (const test of tests)
      if (isShared(test) && hasEngine(test.engineId))
        marks.set(`test-${test.id}`, testMark(test, takesOf.get(test.id) ?? []));
    const names = [...marks]
      .filter(([name, mark]) => summaries.get(name)?.mark !== mark)
      .map(([name]) => name);
    for (const [name, { mark }] of summaries) if (mark !== '' && !marks.has(name)) names.push(name);
    return enginesFirst(names);
  };

  const documents: Documents = {
    async gather(names) {
      const changes = noChanges();
      await reload();
      await inBatches(names ? enginesFirst([...names]) : await differing(), changes);
      return changes;
    },
    async merge(updates) {
      const changes = noChanges();
      const byName = new Map<string, Uint8Array[]>();
      for (const { name, update } of updates) {
        if (!parseDocumentName(name) || !isUpdate(update)) changes.refused.add(name);
        else byName.set(name, [...(byName.get(name) ?? []), update]);
      }
      let batch = new Map<string, Uint8Array[]>();
      let bytes = 0;
      for (const name of enginesFirst([...byName.keys()])) {
        const list = byName.get(name) ?? [];
        batch.set(name, list);
        bytes += list.reduce((sum, { length }) => sum + length, 0);
        if (batch.size < BATCH.documents && bytes < BATCH.bytes) continue;
        await mergeBatch(batch, changes);
        batch = new Map();
        bytes = 0;
      }
      if (batch.size > 0) await mergeBatch(batch, changes);
      return changes;
    },
    digests: () => new Map([...summaries].map(([name, { digest }]) => [name, digest])),
    async state(name) {
      const found = await database.read(['documents'], (tx) => tx.objectStore('documents').get(name));
      return found?.state ?? null;
    },
    removed: () =>
      [...summaries.values()]
        .flatMap(({ name, removal }) =>
          removal && removal.into === undefined ? [{ name, at: removal.at }] : [],
        )
        .sort((a, b) => b.at.localeCompare(a.at)),
    async restore(name) {
      const state = await documents.state(name);
      if (!state || !summaries.get(name)?.removal) return noChanges();
      const doc = documentOf(state, nextClientId?.());
      const before = Y.encodeStateVector(doc);
      setRemoval(doc, null);
      return documents.merge([{ name, update: Y.encodeStateAsUpdate(doc, before) }]);
    },
  };
  return documents;
}

/** Entry among the summaries that counts the transactions, so that tabs notice each other's. */
const REVISION = 'revision';
const NO_SUMMARY: DocumentSummary = { name: REVISION, digest: '', mark: '', removal: null, isWhole: false };

type Collected = { -readonly [K in keyof Changes]: Set<string> };

const noChanges = (): Collected => ({
  documents: new Set(),
  ownChanges: new Set(),
  engines: new Set(),
  tests: new Set(),
  removedTests: new Set(),
  deferred: new Set(),
  refused: new Set(),
});

function collect(into: Collected, settled: Settled): void {
  for (const name of settled.changedDocuments) into.documents.add(name);
  for (const name of settled.ownChanges) into.ownChanges.add(name);
  for (const id of settled.changedEngines) into.engines.add(id);
  for (const id of settled.changedTests) into.tests.add(id);
  for (const id of settled.removedTests) into.removedTests.add(id);
}

function grouped<T>(list: readonly T[], keyOf: (one: T) => string): ReadonlyMap<string, readonly T[]> {
  const groups = new Map<string, T[]>();
  for (const one of list) {
    const group = groups.get(keyOf(one));
    if (group) group.push(one);
    else groups.set(keyOf(one), [one]);
  }
  return groups;
}

const enginesFirst = (names: readonly string[]): string[] => [...names].sort();

/** The store wraps errors that are none of its own. */
function isDeferral(cause: unknown): boolean {
  for (let one: unknown = cause; one instanceof Error; one = one.cause)
    if (one instanceof CaptureInProgress) return true;
  return false;
}
