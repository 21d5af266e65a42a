import { type ReadonlySignal, signal } from '@preact/signals';
import type { Reading } from '../../worker/core/reading.ts';
import type { TakeRecord } from '../../worker/file/records.ts';
import type { Analyst } from '../analysis/analyst.ts';
import { readingOptions, UNREAD } from '../analysis/reading-options.ts';
import type { Locks } from '../platform/ports.ts';
import { asStoreProblem, type StoreProblem, type TestStore } from '../store/port.ts';

import { takeLock } from './take-lock.ts';

/** A take that a crash or a closed tab left `open`, with its reading. */
interface UnfinishedTake {
  readonly take: TakeRecord;
  readonly durationS: number;
  readonly reading: Reading;
}

/** Takes left by a crash, and the user's decisions about them. */
export interface Recovery {
  /** Takes to offer to the user; filled on start. Takes open in another tab are excluded. */
  readonly unfinished: ReadonlySignal<readonly UnfinishedTake[]>;
  /** Marks the take as finished. */
  keep(takeId: string): void;
  /** Sets the take aside; its samples are kept. */
  setAside(takeId: string): void;
}

export interface RecoveryDependencies {
  readonly store: TestStore;
  readonly analyst: Analyst;
  readonly locks: Locks;
  takesChanged(testId: string): void;
  /** Called when the user's decision about a take could not be stored. */
  onTrouble(problem: StoreProblem): void;
}

/**
 * Finds takes that a crash or a closed tab left `open`, analyses them and offers them to the user, who decides. `look`
 * rejects when the store cannot be read. That is not announced as lost samples, because nothing is being measured.
 */
export function createRecovery(deps: RecoveryDependencies): Recovery & { look(): Promise<void> } {
  const { store, analyst, locks, takesChanged, onTrouble } = deps;
  const unfinished = signal<readonly UnfinishedTake[]>([]);

  const readTake = async (take: TakeRecord): Promise<UnfinishedTake> => {
    const [trace, test] = await Promise.all([store.trace(take.id), store.test(take.testId)]);
    const engine = test && (await store.engine(test.engineId));
    const durationS = (trace.timeS.at(-1) ?? 0) - (trace.timeS[0] ?? 0);
    const reading =
      test && engine
        ? await analyst.read(trace, readingOptions(engine.facts, test.conditions, take)).catch(() => UNREAD)
        : UNREAD;
    return { take, durationS, reading };
  };

  const decide = async (takeId: string, state: 'finished' | 'set-aside'): Promise<void> => {
    const found = unfinished.peek().find(({ take }) => take.id === takeId);
    if (!found) return;
    try {
      await store.saveTake({ ...found.take, state });
      unfinished.value = unfinished.peek().filter((one) => one !== found);
      takesChanged(found.take.testId);
    } catch (cause) {
      onTrouble(asStoreProblem(cause));
    }
  };

  return {
    unfinished,
    keep: (takeId) => void decide(takeId, 'finished'),
    setAside: (takeId) => void decide(takeId, 'set-aside'),
    async look() {
      const takes = await store.unfinished();
      const held = await Promise.all(takes.map((take) => locks.isHeld(takeLock(take.id))));
      unfinished.value = await Promise.all(takes.filter((_, i) => !held[i]).map(readTake));
    },
  };
}
