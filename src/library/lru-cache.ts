/** The values asked for last, by key. Those beyond `most` go, the oldest first, save what `isHeld`. */
export interface LruCache<T> {
  get(key: string): T | undefined;
  set(key: string, value: T): void;
  delete(key: string): void;
  keys(): string[];
}

export function createLruCache<T>(most: number, isHeld: (key: string) => boolean = () => false): LruCache<T> {
  const kept = new Map<string, T>();
  const set = (key: string, value: T): void => {
    // A map keeps the order in which its keys came.
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
