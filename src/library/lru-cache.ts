/** Least-recently-used cache by key. */
export interface LruCache<T> {
  get(key: string): T | undefined;
  set(key: string, value: T): void;
  delete(key: string): void;
  keys(): string[];
}

/** Keeps at most `most` values, plus those for whose key `isHeld` is true. */
export function createLruCache<T>(most: number, isHeld: (key: string) => boolean = () => false): LruCache<T> {
  const kept = new Map<string, T>();
  const set = (key: string, value: T): void => {
    // A map iterates in insertion order, so the least recently used key comes first.
    kept.delete(key);
    kept.set(key, value);
    for (const oldest of kept.keys()) {
      if (kept.size <= most) return;
      if (oldest !== key && !isHeld(oldest)) kept.delete(oldest);
    }
  };
  return {
    get(key) {
      const value = kept.get(key);
      if (value !== undefined) set(key, value);
      return value;
    },
    set,
    delete: (key) => void kept.delete(key),
    keys: () => [...kept.keys()],
  };
}
