/** Hands the library over in one file, and takes such a file in. */
import * as Y from 'yjs';
import { storedFingerprint } from '../store/fingerprint.ts';
import type { TestStore } from '../store/port.ts';
import { vectorDigest } from './document.ts';
import type { Changes, Documents, DocumentUpdate } from './documents.ts';
import {
  type ExchangeEnd,
  type ExchangeKind,
  exchangeEnd,
  exchangeEntry,
  exchangeHead,
  readExchange,
} from './exchange-file.ts';
import { isShared } from './local-records.ts';

export interface ShareDevice {
  readonly store: TestStore;
  readonly documents: Documents;
}

/** State vectors by document name. */
export type Vectors = ReadonlyMap<string, Uint8Array>;

export type OnProgress = (progress: { readonly done: number; readonly all: number }) => void;

/** Bytes of updates that are merged at a time. */
const MERGED_BYTES = 8e6;

/** The file that says what this device has, so that another hands over only the rest. */
export async function writeHave({ documents }: ShareDevice, savedAt: string): Promise<Blob> {
  await documents.gather();
  const pieces: Blob[] = [];
  for (const name of documents.digests().keys()) {
    const state = await documents.state(name);
    if (state)
      pieces.push(new Blob([exchangeEntry({ name, content: Y.encodeStateVectorFromUpdate(state) })]));
  }
  return blobOf('have', savedAt, pieces, { entries: pieces.length, engineIds: [], tests: {} });
}

/** `null` when the file is not one of `writeHave`, or not whole. */
export async function readHave(file: Blob): Promise<Vectors | null> {
  const vectors = new Map<string, Uint8Array>();
  for await (const item of readExchange(file, 'have')) {
    if (item.kind === 'problem') return null;
    if (item.kind === 'entry') vectors.set(item.name, item.content);
  }
  return vectors;
}

export interface HandedOver {
  readonly file: Blob;
  /** Documents in the file, and records in the library. */
  readonly documents: number;
  readonly engines: number;
  readonly tests: number;
  /** What this device has of each document. */
  readonly vectors: Vectors;
}

export interface HandOverOptions {
  /** ISO 8601. */
  readonly savedAt: string;
  /** What the other side has; all is handed over without it. */
  readonly have?: Vectors | null | undefined;
  /** Whether the file lists the library for the check on arrival, which reads all samples. */
  readonly isListed: boolean;
  readonly onProgress?: OnProgress | undefined;
}

/** Everything that the other side lacks. */
export async function handOver(
  { store, documents }: ShareDevice,
  { savedAt, have, isListed, onProgress }: HandOverOptions,
): Promise<HandedOver> {
  await documents.gather();
  const digests = [...documents.digests()].sort(([a], [b]) => (a < b ? -1 : 1));
  const pieces: Blob[] = [];
  const vectors = new Map<string, Uint8Array>();
  for (const [i, [name, own]] of digests.entries()) {
    onProgress?.({ done: i + 1, all: digests.length });
    const theirs = have?.get(name);
    if (theirs) vectors.set(name, theirs);
    if (theirs && vectorDigest(theirs) === own) continue;
    const state = await documents.state(name);
    if (!state) continue;
    vectors.set(name, Y.encodeStateVectorFromUpdate(state));
    const content = whatLacks(state, theirs);
    // A blob of its own: browsers can move blobs to disk.
    if (content) pieces.push(new Blob([exchangeEntry({ name, content })]));
  }
  const content = isListed ? await contentOf(store) : { engineIds: [], tests: {} };
  const end = { entries: pieces.length, ...content };
  return {
    file: blobOf('updates', savedAt, pieces, end),
    documents: pieces.length,
    engines: end.engineIds.length,
    tests: Object.keys(end.tests).length,
    vectors,
  };
}

/** The part of a document that a vector lacks; `null` when it lacks nothing. */
function whatLacks(state: Uint8Array, vector: Uint8Array | undefined): Uint8Array | null {
  if (!vector) return state;
  const theirs = Y.decodeStateVector(vector);
  const mine = Y.decodeStateVector(Y.encodeStateVectorFromUpdate(state));
  const hasAll = [...mine].every(([client, clock]) => (theirs.get(client) ?? 0) >= clock);
  return hasAll ? null : Y.diffUpdate(state, vector);
}

function blobOf(kind: ExchangeKind, savedAt: string, pieces: readonly Blob[], end: ExchangeEnd): Blob {
  const parts = [exchangeHead(kind, savedAt), ...pieces, exchangeEnd(end)];
  return new Blob(parts, { type: 'application/octet-stream' });
}

/** Ids of the shared engines, and fingerprints of their tests. */
async function contentOf(store: TestStore): Promise<Omit<ExchangeEnd, 'entries'>> {
  const engineIds = (await store.engines()).filter(isShared).map(({ id }) => id);
  const tests: Record<string, string | null> = {};
  for (const engineId of engineIds)
    for (const test of (await store.tests(engineId)).filter(isShared))
      tests[test.id] = await storedFingerprint(store, test, await store.takes(test.id));
  return { engineIds, tests };
}

/** Comparison of this library with the sender's after a file was taken in. */
export interface ArrivalCheck {
  readonly engines: { readonly sent: number; readonly here: number };
  readonly tests: { readonly sent: number; readonly here: number };
  /** Tests here whose fingerprint is another than the sender's, such as ones changed on both devices. */
  readonly different: number;
}

export interface TakenIn {
  readonly changes: Changes;
  /** `null`: the file was read to its end. Entries before a problem are merged all the same. */
  readonly problem: 'not-ours' | 'damaged' | 'cut-off' | null;
  /** `null` without the end of the file. */
  readonly check: ArrivalCheck | null;
}

/** Merges a file of `handOver`. Taking it in again changes nothing. */
export async function takeIn(
  device: ShareDevice,
  file: Blob,
  onProgress?: OnProgress,
  onUpdate?: (update: DocumentUpdate) => void,
): Promise<TakenIn> {
  const { documents, store } = device;
  const all: Changes[] = [await documents.gather()];
  let updates: DocumentUpdate[] = [];
  let bytes = 0;
  let done = 0;
  let end: ExchangeEnd | null = null;
  let problem: TakenIn['problem'] = null;
  const merge = async (): Promise<void> => {
    all.push(await documents.merge(updates));
    updates = [];
    bytes = 0;
    onProgress?.({ done, all: file.size });
  };
  for await (const item of readExchange(file, 'updates')) {
    if (item.kind === 'problem') problem = item.problem;
    if (item.kind === 'end') end = item.end;
    if (item.kind !== 'entry') continue;
    const update = { name: item.name, update: item.content };
    updates.push(update);
    onUpdate?.(update);
    bytes += item.content.length;
    done += item.content.length;
    if (bytes >= MERGED_BYTES) await merge();
  }
  await merge();
  return { changes: union(all), problem, check: end && (await checkArrival(store, end)) };
}

async function checkArrival(store: TestStore, { engineIds, tests }: ExchangeEnd): Promise<ArrivalCheck> {
  const here = await contentOf(store);
  const enginesHere = new Set(here.engineIds);
  const sentTests = Object.entries(tests);
  const arrived = sentTests.filter(([id]) => Object.hasOwn(here.tests, id));
  return {
    engines: { sent: engineIds.length, here: engineIds.filter((id) => enginesHere.has(id)).length },
    tests: { sent: sentTests.length, here: arrived.length },
    different: arrived.filter(([id, hash]) => hash !== null && here.tests[id] !== hash).length,
  };
}

function union(all: readonly Changes[]): Changes {
  const join = (key: keyof Changes) => new Set(all.flatMap((one) => [...one[key]]));
  return {
    documents: join('documents'),
    ownChanges: join('ownChanges'),
    engines: join('engines'),
    tests: join('tests'),
    removedTests: join('removedTests'),
    deferred: join('deferred'),
    refused: join('refused'),
  };
}
