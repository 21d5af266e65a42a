import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { StoreProblem } from '../store/port.ts';
import type { JournalHealth } from './port.ts';

/** Writes to the store of all pending takes, as one state. */
export interface JournalHealthModel {
  readonly health: ReadonlySignal<JournalHealth>;
  /** The first take was opened: from now on the state without a problem is `saved`. */
  start(): void;
  /** Result of a write of this take: `null` when it succeeded. `unsavedS`: seconds of samples not yet stored. */
  set(takeId: string, problem: StoreProblem | null, unsavedS: number): void;
}

/** `onTrouble`: called when the store first refuses a write of a take. */
export function createJournalHealth(onTrouble: (problem: StoreProblem) => void): JournalHealthModel {
  const troubles = signal<ReadonlyMap<string, { problem: StoreProblem; unsavedS: number }>>(new Map());
  const started = signal(false);
  return {
    health: computed<JournalHealth>(() => {
      const all = [...troubles.value.values()];
      const first = all[0];
      if (!first) return { state: started.value ? 'saved' : 'idle' };
      return {
        state: 'behind',
        problem: first.problem,
        unsavedS: all.reduce((sum, one) => sum + one.unsavedS, 0),
      };
    }),
    start() {
      started.value = true;
    },
    set(takeId, problem, unsavedS) {
      const had = troubles.value.get(takeId);
      if (!problem && !had) return;
      const next = new Map(troubles.value);
      if (problem) next.set(takeId, { problem, unsavedS });
      else next.delete(takeId);
      troubles.value = next;
      if (problem && !had) onTrouble(problem);
    },
  };
}
