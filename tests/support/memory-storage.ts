import type { KeyValueStorage } from '../../src/platform/ports.ts';

/** A storage that lasts as long as the object. */
export function memoryStorage(): KeyValueStorage {
  const kept = new Map<string, string>();
  return {
    read: (key) => kept.get(key) ?? null,
    write: (key, text) => void kept.set(key, text),
  };
}
