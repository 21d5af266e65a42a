/** Failures of a database that the browser causes. */
import 'fake-indexeddb/auto';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { createDatabase } from '../../src/store/database.ts';
import { requestPersistence, storageHealth } from '../../src/store/health.ts';
import { createIdbStore } from '../../src/store/idb-store.ts';
import { block, engineRecord, takeRecord } from '../support/store-records.ts';

afterEach(() => {
  vi.restoreAllMocks();
});

let databases = 0;
const fresh = (): string => `faults-${databases++}`;

/** Opens a database as an old tab would, with the given reaction to `versionchange`. */
function openRaw(name: string, version?: number): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, version);
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

describe('a connection closed by the browser', () => {
  test('is opened again, and the write goes through', async () => {
    const opened: IDBDatabase[] = [];
    const open = IDBFactory.prototype.open;
    vi.spyOn(IDBFactory.prototype, 'open').mockImplementation(function (this: IDBFactory, ...args) {
      const request = open.apply(this, args);
      request.addEventListener('success', () => opened.push(request.result));
      return request;
    });
    const store = createIdbStore(fresh());
    await store.saveTake(takeRecord('k', 't'));
    opened[0]!.close();
    await store.append('k', 0, block(0, [1]), []);
    opened[1]!.close();
    expect([...(await store.trace('k')).pressureKpa]).toEqual([1]);
    expect(opened).toHaveLength(3);
  });

  test('again and again is reported as closed, after one retry', async () => {
    const store = createIdbStore(fresh());
    await store.engines();
    const transaction = vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(() => {
      throw new DOMException('closing', 'InvalidStateError');
    });
    await expect(store.saveEngine(engineRecord('e'))).rejects.toMatchObject({ code: 'closed' });
    expect(transaction).toHaveBeenCalledTimes(2);
    transaction.mockRestore();
    await store.saveEngine(engineRecord('e'));
    expect(await store.engines()).toHaveLength(1);
  });
});

test('a full disk is reported as full, and nothing is partly written', async () => {
  const store = createIdbStore(fresh());
  await store.saveEngine(engineRecord('e1'));
  const add = IDBObjectStore.prototype.add;
  const spy = vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(function (
    this: IDBObjectStore,
    value,
  ) {
    if (this.name === 'chunks') throw new DOMException('no room', 'QuotaExceededError');
    return add.call(this, value);
  });
  const trace = { ...block(0, [1]), gaps: [] };
  const branch = { engines: [engineRecord('e2')], tests: [], takes: [{ take: takeRecord('k', 't'), trace }] };
  await expect(store.addAll(branch)).rejects.toMatchObject({ code: 'full' });
  spy.mockRestore();
  expect((await store.engines()).map(({ id }) => id)).toEqual(['e1']);
  expect(await store.takes('t')).toEqual([]);
  await store.addAll(branch);
  expect((await store.trace('k')).pressureKpa[0]).toBe(1);
});

test('a disk that fills up while a transaction commits is reported as full', async () => {
  const store = createIdbStore(fresh());
  await store.engines();
  const put = IDBObjectStore.prototype.put;
  vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, value) {
    const request = put.call(this, value);
    const transaction = this.transaction;
    // Browser behaviour: the requests succeed, then the transaction aborts with the reason as its error.
    Object.defineProperty(transaction, 'error', {
      get: () => new DOMException('no room', 'QuotaExceededError'),
    });
    transaction.abort();
    return request;
  });
  await expect(store.saveEngine(engineRecord('e1'))).rejects.toMatchObject({ code: 'full' });
});

test('a newer version in another tab is let through at once, and this tab reports that it is out of date', async () => {
  const name = fresh();
  const store = createIdbStore(name);
  await store.saveEngine(engineRecord('e1'));
  const newer = await openRaw(name, 99);
  expect(newer.version).toBe(99);
  await expect(store.engines()).rejects.toMatchObject({ code: 'closed' });
  newer.close();
});

test('an old tab in the way is reported as blocked; once it is closed, work continues', async () => {
  const name = fresh();
  await createIdbStore(name).saveEngine(engineRecord('e1'));
  const oldTab = await openRaw(name, 3);
  const store = createIdbStore(name, createDatabase(name, 4));
  await expect(store.engines()).rejects.toMatchObject({ code: 'blocked' });
  await expect(store.engines()).rejects.toMatchObject({ code: 'blocked' });
  oldTab.close();
  await vi.waitFor(async () => expect(await store.engines()).toHaveLength(1));
});

test('a store that cannot be opened is reported as unreadable, and tried again the next time', async () => {
  const store = createIdbStore(fresh());
  const open = vi.spyOn(IDBFactory.prototype, 'open').mockImplementation(() => {
    throw new DOMException('denied', 'SecurityError');
  });
  await expect(store.engines()).rejects.toMatchObject({ code: 'unreadable' });
  open.mockRestore();
  expect(await store.engines()).toEqual([]);
});

test('many reads and writes at once share one connection', async () => {
  const open = vi.spyOn(IDBFactory.prototype, 'open');
  const store = createIdbStore(fresh());
  await Promise.all(Array.from({ length: 50 }, (_, i) => store.saveEngine(engineRecord(`e${i}`))));
  expect(await store.engines()).toHaveLength(50);
  expect(open).toHaveBeenCalledTimes(1);
});

describe('storage health', () => {
  test('passes on the browser’s figures', async () => {
    const storage = { persisted: async () => false, estimate: async () => ({ usage: 5, quota: 100 }) };
    expect(await storageHealth(storage)).toEqual({ persistent: false, usedBytes: 5, quotaBytes: 100 });
    expect(await requestPersistence({ persist: async () => true })).toBe(true);
  });

  test('is unknown when the browser does not know or refuses', async () => {
    const nothing = { persistent: null, usedBytes: null, quotaBytes: null };
    expect(await storageHealth({})).toEqual(nothing);
    expect(await storageHealth({ persisted: () => Promise.reject(new Error('no')) })).toEqual(nothing);
    expect(await requestPersistence({})).toBe(null);
  });
});
