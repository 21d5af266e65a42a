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

/** Held by the tab that writes this take, so that another tab does not offer it back as unfinished. */
export const takeLock = (takeId: string): string => `strokebook-take-${takeId}`;

/** The figure is not kept waiting longer than this for a slow disk. */
const PATIENCE_MS = 1500;

export interface TakeWriterOptions {
  readonly store: TestStore;
  /** Where a second journal of a take goes; missing where the browser has nothing apart from the store. */
  readonly copyOf?: ((branch: TakeBranch) => JournalStore) | undefined;
  readonly clock: Clock;
  readonly locks: Locks;
  takesChanged(testId: string): void;
  /** The store began to refuse. */
  onTrouble(problem: StoreProblem): void;
}

/** The takes on their way to the store: one open, and those before it that the store has not taken yet. */
export interface TakeWriter {
  readonly isOpen: ReadonlySignal<boolean>;
  readonly health: ReadonlySignal<JournalHealth>;
  open(take: TakeRecord, sofar: Trace, branch: TakeBranch): void;
  block(block: SampleBlock, pageVisible: boolean): void;
  gap(gap: Gap): void;
  change(takeId: string, item: PlanItem): void;
  /** Ends the open take. `written`: stored, or the store is known to refuse, or slow. */
  finish(takeId: string): { take: TakeRecord; trace: Trace; written: Promise<void> } | null;
  /** Open or stored. */
  setAside(takeId: string, testId: string | undefined): Promise<void>;
  meters(): Pick<Meters, 'takenCount' | 'storedCount'>;
  /** Takes that are not wholly stored, with all their samples so far. */
  unsaved(): readonly TakeWithTrace[];
}

export function createTakeWriter(options: TakeWriterOptions): TakeWriter {
  const { store, copyOf, clock, locks, takesChanged, onTrouble } = options;
  const openId = signal<string | null>(null);
  /** All that are not yet wholly stored. */
  const journals = new Map<string, Journal>();
  /** The same takes on their way to files apart from the store. */
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

  /** Ends the journal and forgets it once everything is stored. */
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

/** Engine and test of a take, put in again where the store has lost them. */
async function restoreBranch(store: TestStore, { engine, test }: TakeBranch): Promise<void> {
  if (!(await store.engine(engine.id))) await store.saveEngine(engine);
  if (!(await store.test(test.id))) await store.saveTest(test);
}
