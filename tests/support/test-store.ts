/** The app's own IndexedDB store over `fake-indexeddb`. Each store has a database of its own, empty at first. */
import 'fake-indexeddb/auto';
import { createDatabase, type Database } from '../../src/store/database.ts';
import { createIdbStore } from '../../src/store/idb-store.ts';
import type { TestStore } from '../../src/store/port.ts';

let databases = 0;
let transactions = 0;

async function counted<T>(transaction: Promise<T>): Promise<T> {
  transactions++;
  try {
    return await transaction;
  } finally {
    transactions--;
  }
}

/** A new, empty store. */
export function createTestStore(): TestStore {
  const name = `test-${databases++}`;
  const { read, write } = createDatabase(name);
  const database: Database = {
    read: (names, work) => counted(read(names, work)),
    write: (names, work) => counted(write(names, work)),
  };
  return createIdbStore(name, database);
}

/** Resolves when these stores have no transaction in progress and every promise that waited for one has run. */
export async function settle(): Promise<void> {
  do {
    // `fake-indexeddb` does each request in a task of its own.
    if (transactions > 0) await new Promise((resolve) => setImmediate(resolve));
    for (let i = 0; i < 60; i++) await Promise.resolve();
  } while (transactions > 0);
}
