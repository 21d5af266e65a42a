/** Where a refused write ends up: one banner that stays until the next write goes through. */
import { type ReadonlySignal, signal } from '@preact/signals';
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import { asStoreProblem, type StoreProblemCode } from '../store/port.ts';

export interface Trouble {
  readonly code: ReadonlySignal<StoreProblemCode | null>;
  /**
   * Waits for something that keeps data. `undefined` when the browser refused; the banner then says why. `what`: what was being
   * done, for the error log.
   */
  attempt<T>(work: Promise<T>, what?: string): Promise<T | undefined>;
}

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
