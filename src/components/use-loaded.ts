import { useCallback, useEffect, useState } from 'preact/hooks';
import { type AsyncState, LOADING } from '../store/async-state.ts';
import { asStoreProblem } from '../store/port.ts';
import { useModel } from './model.ts';

/**
 * Reads once, and again on `reload`, a new `key`, or a new revision of the library. Results for an old key are dropped.
 */
export function useLoaded<T>(
  key: string,
  read: () => Promise<T>,
): { loaded: AsyncState<T>; reload: () => void } {
  const [loaded, setLoaded] = useState<AsyncState<T>>(LOADING);
  const [turn, setTurn] = useState(0);
  const revision = useModel().library.revision.value;
  // biome-ignore lint/correctness/useExhaustiveDependencies: `read` is a new closure on every render; `key` identifies it.
  useEffect(() => {
    let current = true;
    read().then(
      (value) => current && setLoaded({ state: 'ready', value }),
      (cause: unknown) => current && setLoaded({ state: 'failed', problem: asStoreProblem(cause) }),
    );
    return () => {
      current = false;
    };
  }, [key, turn, revision]);
  return { loaded, reload: useCallback(() => setTurn((n) => n + 1), []) };
}
