/** Where a refused write ends up: one banner that stays until the next write goes through. */
import { type ReadonlySignal, signal } from '@preact/signals';
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import { StoreProblem, type StoreProblemCode } from '../store/port.ts';

export interface Trouble {
  readonly code: ReadonlySignal<StoreProblemCode | null>;
  /** Waits for something that keeps data. `undefined` when the browser refused; the banner then says why. */
  attempt<T>(work: Promise<T>): Promise<T | undefined>;
}

export function makeTrouble(onRefused: (cause: unknown) => void = () => {}): Trouble {
  const code = signal<StoreProblemCode | null>(null);
  return {
    code,
    async attempt(work) {
      try {
        const result = await work;
        code.value = null;
        return result;
      } catch (cause) {
        onRefused(cause);
        code.value = cause instanceof StoreProblem ? cause.code : 'unexpected';
        return undefined;
      }
    },
  };
}

export const TroubleContext = createContext<Trouble>(makeTrouble());

export const useTrouble = (): Trouble => useContext(TroubleContext);
