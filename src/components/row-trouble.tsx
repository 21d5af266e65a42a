/** Rows of a list that cannot be read: why is said once, above them, and each row says only that it could not be. */
import { type Signal, useSignal } from '@preact/signals';
import { type ComponentChildren, createContext } from 'preact';
import { useContext, useEffect } from 'preact/hooks';
import type { StoreProblemCode } from '../store/port.ts';
import { useReader } from './model.ts';
import { StoreFailure } from './store-failure.tsx';

/** A failure of each row that has one now. */
type Failures = readonly { readonly code: StoreProblemCode }[];

const FailuresContext = createContext<Signal<Failures> | null>(null);

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

/** Tells the list above that this row failed, as long as it does. */
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
