/** A device with a library and its shared documents, over `fake-indexeddb`. */
import 'fake-indexeddb/auto';
import * as Y from 'yjs';
import { type Documents, type DocumentUpdate, openDocuments } from '../../src/share/documents.ts';
import { createDatabase } from '../../src/store/database.ts';
import { fingerprintOf } from '../../src/store/fingerprint.ts';
import { createIdbStore } from '../../src/store/idb-store.ts';
import type { TestStore } from '../../src/store/port.ts';
import { canonicalJson } from '../../worker/file/session/canonical-json.ts';

export interface ShareDevice {
  readonly store: TestStore;
  readonly documents: Documents;
}

let devices = 0;

/** `clientSeed`: the device numbers its changes from it, so that a history repeats exactly; random when missing. */
export async function createShareDevice(clientSeed?: number): Promise<ShareDevice> {
  const name = `share-${devices++}`;
  const database = createDatabase(name);
  let minutes = 0;
  const now = () => new Date(Date.UTC(2026, 5, 1, 0, minutes++)).toISOString();
  return {
    store: createIdbStore(name, database),
    documents: await openDocuments(database, now, clientIds(clientSeed)),
  };
}

/** Numbers that look random, so that either of two devices wins. */
function clientIds(seed: number | undefined): (() => number) | undefined {
  if (seed === undefined) return undefined;
  let count = 0;
  return () => {
    count++;
    let x = (Math.imul(seed + 1, 0x9e3779b1) ^ Math.imul(count, 0x85ebca6b)) >>> 0;
    x = Math.imul(x ^ (x >>> 16), 0x7feb352d) >>> 0;
    x = Math.imul(x ^ (x >>> 15), 0x846ca68b) >>> 0;
    return (x ^ (x >>> 16)) >>> 0;
  };
}

/** Updates of what `to` lacks of `from`; everything when `whole`. */
export async function updatesFor(
  from: ShareDevice,
  to: ShareDevice,
  whole = false,
): Promise<DocumentUpdate[]> {
  const theirs = to.documents.digests();
  const updates: DocumentUpdate[] = [];
  for (const [name, digest] of from.documents.digests()) {
    if (!whole && theirs.get(name) === digest) continue;
    const state = (await from.documents.state(name))!;
    const other = whole ? null : await to.documents.state(name);
    updates.push({ name, update: other ? Y.diffUpdate(state, Y.encodeStateVectorFromUpdate(other)) : state });
  }
  return updates;
}

/** Everything that is shared of a library, in a comparable form, with the fingerprint of each test. */
export async function libraryOf({ store }: ShareDevice) {
  const isShared = ({ origin }: { origin: string }) => origin !== 'simulated' && origin !== 'example';
  const byId = <T>(list: readonly T[], idOf: (one: T) => string): T[] =>
    [...list].sort((a, b) => (idOf(a) < idOf(b) ? -1 : 1));
  const engines = byId((await store.engines()).filter(isShared), ({ id }) => id);
  const plain: string[] = [];
  for (const engine of engines) {
    plain.push(canonicalJson(engine));
    for (const plug of byId(await store.plugs(engine.id), ({ id }) => id))
      plain.push(canonicalJson([plug, [...((await store.plugPhoto(plug.id))?.bytes ?? [])]]));
    for (const test of byId((await store.tests(engine.id)).filter(isShared), ({ id }) => id)) {
      const takes = (await store.takes(test.id)).filter(({ state }) => state !== 'open');
      const withTraces = await Promise.all(
        takes.map(async (take) => ({ take, trace: await store.trace(take.id) })),
      );
      plain.push(canonicalJson(test), ...byId(takes, ({ id }) => id).map(canonicalJson));
      plain.push(`${test.id} ${await fingerprintOf(test, withTraces)}`);
    }
  }
  return plain;
}

/** Offers everything to everyone until nothing changes. */
export async function exchangeAll(all: readonly ShareDevice[]): Promise<void> {
  for (let round = 0; round < 6; round++) {
    let changed = 0;
    for (const to of all) changed += (await to.documents.gather()).documents.size;
    for (const from of all)
      for (const to of all) {
        if (from === to) continue;
        const { documents } = await to.documents.merge(await updatesFor(from, to));
        changed += documents.size;
      }
    if (changed === 0) return;
  }
  throw new Error('The documents do not come to rest.');
}
