import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';
import type { TakeRecord, TakeWithTrace } from '../../worker/file/records.ts';
import type { Clock, Locks } from '../platform/ports.ts';
import {
  asStoreProblem,
  type JournalStore,
  type StoreProblem,
  type TakeBranch,
  type TestStore,
} from '../store/port.ts';
import type { PlanItem } from './capture-state.ts';
import { createJournal, type Journal, type JournalOptions } from './journal.ts';
import { createJournalHealth } from './journal-health.ts';
import { createPageHiddenSpans } from './page-hidden.ts';
import type { JournalHealth, Meters } from './port.ts';
import { takeLock } from './take-lock.ts';

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
  const { store, clock, locks, takesChanged, onTrouble } = options;
  const openId = signal<string | null>(null);
  /** Takes that are not completely stored, by id. */
  const journals = new Map<string, Journal>();
  /** Second journals of the same takes, by id. */
  const copies = new Map<string, Journal>();
  const health = createJournalHealth(onTrouble);
  const hidden = createPageHiddenSpans();
  let takenCount = 0;
  let storedCount = 0;

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
    health: health.health,
    open(take, sofar, branch) {
      hidden.clear();
      health.start();
      const { journal, copy } = createJournals(options, take, branch, (problem, count, unsavedS) => {
        storedCount += count;
        health.set(take.id, problem, unsavedS);
      });
      journals.set(take.id, journal);
      openId.value = take.id;
      if (copy) copies.set(take.id, copy);
      addSamples(journal, sofar);
      if (copy) addSamples(copy, sofar);
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
      if (!pageVisible) hidden.add(block);
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
      const pageHidden = hidden.spans();
      const take: TakeRecord = {
        ...journal.take,
        state: 'finished',
        ...(pageHidden.length > 0 ? { pageHidden } : {}),
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

/** The journal of a take, and its second one where there is a place for it. `onAttempt` is called for the first one only. */
function createJournals(
  { store, copyOf, clock }: TakeWriterOptions,
  take: TakeRecord,
  branch: TakeBranch,
  onAttempt: JournalOptions['onAttempt'],
): { journal: Journal; copy: Journal | null } {
  const restore = (): Promise<void> => restoreBranch(store, branch);
  return {
    journal: createJournal({ store, clock, take, restore, onAttempt }),
    copy: copyOf ? createJournal({ store: copyOf(branch), clock, take, onAttempt: () => undefined }) : null,
  };
}

/** Samples and gaps already received. */
function addSamples(journal: Journal, sofar: Trace): void {
  for (const gap of sofar.gaps) journal.gap(gap);
  journal.add(sofar);
}

/** Saves engine and test of a take again if the store has lost them. */
async function restoreBranch(store: TestStore, { engine, test }: TakeBranch): Promise<void> {
  if (!(await store.engine(engine.id))) await store.saveEngine(engine);
  if (!(await store.test(test.id))) await store.saveTest(test);
}
