import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';
import type { Clock, Locks } from '../platform/ports.ts';
import {
  asStoreProblem,
  type JournalStore,
  type StoreProblem,
  type TakeBranch,
  type TakeRecord,
  type TakeWithTrace,
  type TestStore,
} from '../store/port.ts';
import type { JournalHealth, Meters, PlanItem } from './contract.ts';
import { createJournal, type Journal } from './journal.ts';

/** Lock name. Held by the tab that writes this take, so that another tab does not offer it as unfinished. */
export const takeLock = (takeId: string): string => `strokebook-take-${takeId}`;

/** Longest time that a result waits for a slow disk. */
const PATIENCE_MS = 1500;

export interface TakeWriterOptions {
  readonly store: TestStore;
  /** Second journal of a take; missing where the browser has no storage apart from the database. */
  readonly copyOf?: ((branch: TakeBranch) => JournalStore) | undefined;
  readonly clock: Clock;
  readonly locks: Locks;
  takesChanged(testId: string): void;
  /** Called when the store first refuses a write of a take. */
  onTrouble(problem: StoreProblem): void;
}

/** Pending takes: the open one, and earlier ones not yet persisted. */
export interface TakeWriter {
  readonly isOpen: ReadonlySignal<boolean>;
  readonly health: ReadonlySignal<JournalHealth>;
  /** Opens a take. `sofar`: samples already received that belong to it. */
  open(take: TakeRecord, sofar: Trace, branch: TakeBranch): void;
  /** Adds samples to the open take. Times with a hidden page are recorded in its `pageHidden`. */
  block(block: SampleBlock, pageVisible: boolean): void;
  gap(gap: Gap): void;
  /** Changes cylinder and condition of a pending take. */
  change(takeId: string, item: PlanItem): void;
  /**
   * Ends a take; `null` when it is not pending. `written` resolves when it is stored, at the latest after
   * `PATIENCE_MS`.
   */
  finish(takeId: string): { take: TakeRecord; trace: Trace; written: Promise<void> } | null;
  /** Sets a pending or stored take aside. Never rejects; a refusal goes to `onTrouble`. */
  setAside(takeId: string, testId: string | undefined): Promise<void>;
  meters(): Pick<Meters, 'takenCount' | 'storedCount'>;
  /** Takes that are not completely stored, with all their samples so far. */
  unsaved(): readonly TakeWithTrace[];
}

/** A writer with no pending takes. */
export function createTakeWriter(options: TakeWriterOptions): TakeWriter {
  const { store, copyOf, clock, locks, takesChanged, onTrouble } = options;
  const openId = signal<string | null>(null);
  /** Takes that are not completely stored, by id. */
  const journals = new Map<string, Journal>();
  /** Second journals of the same takes, by id. */
  const copies = new Map<string, Journal>();
  const troubles = signal<ReadonlyMap<string, { problem: StoreProblem; unsavedS: number }>>(new Map());
  const started = signal(false);
  let hidden: { startS: number; endS: number }[] = [];
  let takenCount = 0;
  let storedCount = 0;

  const health = computed<JournalHealth>(() => {
    const all = [...troubles.value.values()];
    const first = all[0];
    if (!first) return { state: started.value ? 'saved' : 'idle' };
    return {
      state: 'behind',
      problem: first.problem,
      unsavedS: all.reduce((sum, one) => sum + one.unsavedS, 0),
    };
  });

  const setTrouble = (takeId: string, problem: StoreProblem | null, unsavedS: number): void => {
    const had = troubles.value.get(takeId);
    if (!problem && !had) return;
    const next = new Map(troubles.value);
    if (problem) next.set(takeId, { problem, unsavedS });
    else next.delete(takeId);
    troubles.value = next;
    if (problem && !had) onTrouble(problem);
  };

  /** Closes the journal and removes it once everything is stored. */
  const close = async (journal: Journal): Promise<void> => {
    if (openId.value === journal.take.id) openId.value = null;
    void copies.get(journal.take.id)?.close();
    copies.delete(journal.take.id);
    await journal.close();
    journals.delete(journal.take.id);
    takesChanged(journal.take.testId);
  };

  const openJournal = (): Journal | undefined => (openId.value ? journals.get(openId.value) : undefined);
  const openCopy = (): Journal | undefined => (openId.value ? copies.get(openId.value) : undefined);

  const save = (journal: Journal, take: TakeRecord): void => {
    journal.save(take);
    copies.get(take.id)?.save(take);
  };

  return {
    isOpen: computed(() => openId.value !== null),
    health,
    open(take, sofar, branch) {
      hidden = [];
      started.value = true;
      const journal = createJournal({
        store,
        clock,
        take,
        restore: () => restoreBranch(store, branch),
        onAttempt(problem, count, unsavedS) {
          storedCount += count;
          setTrouble(take.id, problem, unsavedS);
        },
      });
      journals.set(take.id, journal);
      openId.value = take.id;
      const both = [journal];
      if (copyOf) {
        const copy = createJournal({
          store: copyOf(branch),
          clock,
          take,
          onAttempt: () => undefined,
        });
        copies.set(take.id, copy);
        both.push(copy);
      }
      for (const one of both) {
        for (const gap of sofar.gaps) one.gap(gap);
        one.add(sofar);
      }
      takenCount += sofar.timeS.length;
      void locks.hold(takeLock(take.id)).then(async (release) => {
        await journal.stored;
        release?.();
      });
    },
    block(block, pageVisible) {
      const journal = openJournal();
      if (journal) takenCount += block.timeS.length;
      journal?.add(block);
      openCopy()?.add(block);
      const fromS = block.timeS[0];
      const endS = block.timeS.at(-1);
      if (pageVisible || fromS === undefined || endS === undefined) return;
      const last = hidden.at(-1);
      if (last && fromS - last.endS < 2) last.endS = endS;
      else hidden.push({ startS: fromS, endS });
    },
    gap(gap) {
      openJournal()?.gap(gap);
      openCopy()?.gap(gap);
    },
    change(takeId, item) {
      const journal = journals.get(takeId);
      if (journal) save(journal, { ...journal.take, ...item });
    },
    finish(takeId) {
      const journal = journals.get(takeId);
      if (!journal) return null;
      const take: TakeRecord = {
        ...journal.take,
        state: 'finished',
        ...(hidden.length > 0 ? { pageHidden: hidden } : {}),
      };
      save(journal, take);
      const patience = new Promise<void>((resolve) => void clock.after(PATIENCE_MS, resolve));
      const written = Promise.race([close(journal), patience]);
      return { take, trace: journal.trace(), written };
    },
    async setAside(takeId, testId) {
      const journal = journals.get(takeId);
      if (journal) {
        save(journal, { ...journal.take, state: 'set-aside' });
        return close(journal);
      }
      if (!testId) return;
      try {
        const take = (await store.takes(testId)).find((one) => one.id === takeId);
        if (take) await store.saveTake({ ...take, state: 'set-aside' });
        takesChanged(testId);
      } catch (cause) {
        onTrouble(asStoreProblem(cause));
      }
    },
    meters: () => ({ takenCount, storedCount }),
    unsaved: () => [...journals.values()].map((journal) => ({ take: journal.take, trace: journal.trace() })),
  };
}

/** Saves engine and test of a take again if the store has lost them. */
async function restoreBranch(store: TestStore, { engine, test }: TakeBranch): Promise<void> {
  if (!(await store.engine(engine.id))) await store.saveEngine(engine);
  if (!(await store.test(test.id))) await store.saveTest(test);
}
