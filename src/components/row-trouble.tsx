/** Failed rows of a list. The reason appears once above the list; each row only says that it could not be read. */
import { type Signal, useSignal } from '@preact/signals';
import { type ComponentChildren, createContext } from 'preact';
import { useContext, useEffect } from 'preact/hooks';
import type { StoreProblemCode } from '../store/port.ts';
import { useReader } from './model.ts';
import { StoreFailure } from './store-failure.tsx';

/** One entry per row that has failed. */
type Failures = readonly { readonly code: StoreProblemCode }[];

const FailuresContext = createContext<Signal<Failures> | null>(null);

/** Provides the context for the rows below, and shows the first failure. */
export function RowTrouble({ children }: { children: ComponentChildren }) {
  const { t } = useReader();
  const failures = useSignal<Failures>([]);
  const [first] = failures.value;
  return (
    <FailuresContext.Provider value={failures}>
      {first && <StoreFailure code={first.code} lead={t.engines.rowsNotRead} />}
      {children}
    </FailuresContext.Provider>
  );
}

/** Reports the failure of this row to the list, until `code` is `null` or the row is removed. */
export function useRowFailure(code: StoreProblemCode | null): void {
  const failures = useContext(FailuresContext);
  useEffect(() => {
    if (code === null || !failures) return;
    const own = { code };
    failures.value = [...failures.peek(), own];
    return () => {
      failures.value = failures.peek().filter((one) => one !== own);
    };
  }, [code, failures]);
}
