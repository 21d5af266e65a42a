import { useCallback, useEffect, useState } from 'preact/hooks';
import { StoreProblem, type StoreProblemCode } from '../store/port.ts';
import { useModel } from './model.ts';

export type Loaded<T> =
  | { readonly state: 'loading' }
  | { readonly state: 'ready'; readonly value: T }
  | { readonly state: 'failed'; readonly code: StoreProblemCode };

/**
 * Reads once, and again when `reload` is called, `key` changes, or whole tests or engines came or went. A late answer to an
 * old key is dropped.
 */
export function useLoaded<T>(key: string, read: () => Promise<T>): { loaded: Loaded<T>; reload: () => void } {
  const [loaded, setLoaded] = useState<Loaded<T>>({ state: 'loading' });
  const [turn, setTurn] = useState(0);
  const comings = useModel().bench.comings.value;
  // `read` is a new closure on every render; `key` says when it means something else.
  useEffect(() => {
    let current = true;
    read().then(
      (value) => current && setLoaded({ state: 'ready', value }),
      (cause: unknown) =>
        current &&
        setLoaded({ state: 'failed', code: cause instanceof StoreProblem ? cause.code : 'unexpected' }),
    );
    return () => {
      current = false;
    };
  }, [key, turn, comings]);
  return { loaded, reload: useCallback(() => setTurn((n) => n + 1), []) };
}
