import type { KeyValueStorage } from './ports.ts';

/** A browser's storage, which it may refuse altogether: then what is written lasts as long as whoever wrote it. */
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
        // Kept for this tab by whoever asked.
      }
    },
  };
}
