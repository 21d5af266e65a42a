/** State of failed writes: one banner that stays until the next write succeeds. */
import { type ReadonlySignal, signal } from '@preact/signals';
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import { asStoreProblem, type StoreProblemCode } from '../store/port.ts';

export interface Trouble {
  readonly code: ReadonlySignal<StoreProblemCode | null>;
  /**
   * Awaits a write. Returns `undefined` when it fails; the banner then shows the reason. `what`: the action, for the
   * error log.
   */
  attempt<T>(work: Promise<T>, what?: string): Promise<T | undefined>;
}

/** Makes the state. `onRefused` receives every failure. */
export function makeTrouble(onRefused: (what: string, cause: unknown) => void = () => {}): Trouble {
  const code = signal<StoreProblemCode | null>(null);
  return {
    code,
    async attempt(work, what = 'action') {
      try {
        const result = await work;
        code.value = null;
        return result;
      } catch (cause) {
        onRefused(what, cause);
        code.value = asStoreProblem(cause).code;
        return undefined;
      }
    },
  };
}

export const TroubleContext = createContext<Trouble>(makeTrouble());

export const useTrouble = (): Trouble => useContext(TroubleContext);
