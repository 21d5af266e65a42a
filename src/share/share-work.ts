/** Work of the share worker: request, progress and outcome. */
import { createDatabase } from '../store/database.ts';
import { createIdbStore } from '../store/idb-store.ts';
import { directoryFolder } from './directory-folder.ts';
import { documentOf } from './document.ts';
import { type Documents, openDocuments, type RemovedRecord } from './documents.ts';
import { readCard } from './engine-document.ts';
import { shareFolder } from './folder.ts';
import { keepFolder, keptFolder } from './folder-memory.ts';
import { forgetCapturesOf } from './forget-captures.ts';
import {
  type ArrivalCheck,
  handOver,
  type OnProgress,
  readHave,
  type ShareDevice,
  takeIn,
  writeHave,
} from './hand-over.ts';
import { readTest } from './test-document.ts';

export type ShareRequest =
  | { readonly kind: 'have' }
  /** `have`: file of the other device; all is handed over without it. */
  | { readonly kind: 'hand-over'; readonly have: Blob | null }
  | { readonly kind: 'take-in'; readonly file: Blob }
  /** With the folder kept by `keepFolder`. */
  | { readonly kind: 'folder' }
  | { readonly kind: 'removed' }
  | { readonly kind: 'restore'; readonly name: string };

export type ShareOutcome =
  | { readonly kind: 'have'; readonly file: Blob }
  | { readonly kind: 'not-have' }
  | {
      readonly kind: 'handed-over';
      readonly file: Blob;
      readonly engines: number;
      readonly tests: number;
      readonly documents: number;
    }
  | {
      readonly kind: 'taken-in';
      readonly problem: 'not-ours' | 'damaged' | 'cut-off' | null;
      readonly check: ArrivalCheck | null;
      readonly waiting: number;
    }
  | {
      readonly kind: 'folder';
      readonly filesRead: number;
      readonly filesWritten: number;
      readonly notWhole: number;
      readonly changed: number;
    }
  | { readonly kind: 'removed'; readonly removed: readonly ListedRemoval[] }
  | { readonly kind: 'restored' };

/** Newest removals that are listed. */
const MOST_LISTED = 50;

/** A removal with what a person knows the record by. */
export interface ListedRemoval extends RemovedRecord {
  /** `null` for a test. */
  readonly engineName: string | null;
  /** When the test was taken, ISO 8601; `null` for an engine. */
  readonly takenAt: string | null;
}

/** Rejects with a `StoreProblem`, or with what the folder or the file rejects with. */
export async function runShare(request: ShareRequest, onProgress: OnProgress): Promise<ShareOutcome> {
  const database = createDatabase('strokebook');
  const now = (): string => new Date().toISOString();
  const device: ShareDevice = {
    store: createIdbStore('strokebook', database),
    documents: await openDocuments(database, now),
  };
  switch (request.kind) {
    case 'have':
      return { kind: 'have', file: await writeHave(device, now()) };
    case 'hand-over': {
      const have = request.have && (await readHave(request.have));
      if (request.have && !have) return { kind: 'not-have' };
      const handed = await handOver(device, { savedAt: now(), have, isListed: true, onProgress });
      const { file, engines, tests, documents } = handed;
      return { kind: 'handed-over', file, engines, tests, documents };
    }
    case 'take-in': {
      const { changes, problem, check } = await takeIn(device, request.file, onProgress);
      await forgetCapturesOf(changes.removedTests);
      return { kind: 'taken-in', problem, check, waiting: changes.deferred.size };
    }
    case 'folder': {
      const kept = await keptFolder();
      if (!kept) throw new Error('No folder is chosen.');
      const outcome = await shareFolder(device, directoryFolder(kept.handle), kept.memory, now(), onProgress);
      await keepFolder(kept.handle, outcome.memory);
      await forgetCapturesOf(outcome.removedTests);
      const { filesRead, filesWritten, notWhole, engines, tests } = outcome;
      return {
        kind: 'folder',
        filesRead,
        filesWritten,
        notWhole: notWhole.length,
        changed: engines.size + tests.size,
      };
    }
    case 'removed':
      return { kind: 'removed', removed: await listed(device.documents) };
    case 'restore':
      await device.documents.restore(request.name);
      return { kind: 'restored' };
  }
}

async function listed(documents: Documents): Promise<ListedRemoval[]> {
  const list: ListedRemoval[] = [];
  for (const one of documents.removed().slice(0, MOST_LISTED)) {
    const doc = documentOf(await documents.state(one.name));
    const isEngine = one.name.startsWith('engine-');
    list.push({
      ...one,
      engineName: isEngine ? (readCard(doc)?.name ?? '') : null,
      takenAt: isEngine ? null : (readTest(doc)?.startedAt ?? one.at),
    });
  }
  return list;
}
