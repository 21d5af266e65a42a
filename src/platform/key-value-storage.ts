import type { KeyValueStorage } from './ports.ts';

/** A browser's `Storage`. Where it is blocked, reads give `null` and writes are ignored. */
export function createKeyValueStorage(storage: () => Storage): KeyValueStorage {
  return {
    read(key) {
      try {
        return storage().getItem(key);
      } catch {
        return null;
      }
    },
    write(key, text) {
      try {
        storage().setItem(key, text);
      } catch {
        // Blocked or full: the caller still has the value in memory.
      }
    },
  };
}
