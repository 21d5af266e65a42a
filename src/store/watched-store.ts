import { type ReadonlySignal, signal } from '@preact/signals';
import type { Clock, KeyValueStorage, Log } from '../platform/ports.ts';
import { StoreProblem, type StoreProblemCode, type TestStore } from './port.ts';

/** Facts about the library kept outside the database, to detect when it fails or was deleted. */
export interface LibrarySafety {
  /** A write was refused and no backup was saved since. Kept across visits. */
  readonly backupWanted: ReadonlySignal<boolean>;
  /** Time of the last change of a library that is now missing from the database, ISO 8601; else `null`. */
  readonly vanishedSince: ReadonlySignal<string | null>;
  /** Clears `backupWanted`. */
  backupSaved(): void;
  /** Clears `vanishedSince`: the user continues without the lost library. */
  beginAgain(): void;
  /** Checks whether the library still exists. Call before anything is added to the store. Never rejects. */
  look(): Promise<void>;
}

const CHANGED_KEY = 'strokebook-library-changed';
const WANTED_KEY = 'strokebook-backup-wanted';
/** Last change of a lost library; empty once the user has dismissed it. */
const VANISHED_KEY = 'strokebook-library-vanished';

/** After these problems the browser may delete the database at its next start. */
const ALARMING: readonly StoreProblemCode[] = ['full', 'unreadable', 'unexpected'];

/** Wraps a store: refused writes and the time of the last change are recorded in `storage`, errors in `log`. */
export function watchStore(
  store: TestStore,
  storage: KeyValueStorage,
  clock: Pick<Clock, 'wallTime'>,
  log?: Pick<Log, 'add'>,
): { readonly store: TestStore; readonly safety: LibrarySafety } {
  const backupWanted = signal(storage.read(WANTED_KEY) === 'yes');
  const vanishedSince = signal<string | null>(storage.read(VANISHED_KEY) || null);

  const wantBackup = (wanted: boolean): void => {
    if (backupWanted.value === wanted) return;
    backupWanted.value = wanted;
    storage.write(WANTED_KEY, wanted ? 'yes' : 'no');
  };

  const watched = async <T>(write: Promise<T>): Promise<T> => {
    try {
      return await write;
    } catch (cause) {
      log?.add('store', cause);
      if (!(cause instanceof StoreProblem) || ALARMING.includes(cause.code)) wantBackup(true);
      throw cause;
    }
  };

  /** Example engines do not count: they are not the user's data. */
  const hasLibrary = async (): Promise<boolean> =>
    (await store.engines()).some(({ origin }) => origin !== 'example');

  const changed = (): void => {
    storage.write(CHANGED_KEY, clock.wallTime());
  };

  return {
    store: {
      ...store,
      async saveEngine(engine) {
        await watched(store.saveEngine(engine));
        if (engine.origin !== 'example') changed();
      },
      async saveTest(test) {
        await watched(store.saveTest(test));
        if (test.origin !== 'example') changed();
      },
      saveTake: (take) => watched(store.saveTake(take)),
      append: (...chunk) => watched(store.append(...chunk)),
      savePlug: (...look) => watched(store.savePlug(...look)),
      async addAll(branch) {
        await watched(store.addAll(branch));
        if (branch.engines.some(({ origin }) => origin !== 'example')) changed();
      },
      async mergeEngines(kept, goneId) {
        const merge = await watched(store.mergeEngines(kept, goneId));
        changed();
        return merge;
      },
      async undoMerge(merge) {
        await watched(store.undoMerge(merge));
        changed();
      },
      async remove(what) {
        const removed = await watched(store.remove(what));
        if (!(await hasLibrary().catch(() => true))) storage.write(CHANGED_KEY, '');
        return {
          async undo() {
            await watched(removed.undo());
            if (await hasLibrary().catch(() => false)) changed();
          },
        };
      },
    },
    safety: {
      backupWanted,
      vanishedSince,
      backupSaved: () => wantBackup(false),
      beginAgain() {
        storage.write(VANISHED_KEY, '');
        vanishedSince.value = null;
      },
      async look() {
        const since = storage.read(CHANGED_KEY) ?? '';
        const isThere = await hasLibrary().catch(() => true);
        if (isThere && since === '') storage.write(CHANGED_KEY, clock.wallTime());
        if (isThere || since === '') return;
        storage.write(VANISHED_KEY, since);
        storage.write(CHANGED_KEY, '');
        vanishedSince.value = since;
      },
    },
  };
}
