import { type ReadonlySignal, signal } from '@preact/signals';
import type { Clock, KeyValueStorage, Log } from '../platform/ports.ts';
import { StoreProblem, type StoreProblemCode, type TestStore } from './port.ts';

/** What the app knows of its library apart from the database, so that it notices when that fails or is gone. */
export interface LibrarySafety {
  /** The browser refused to write, and no backup was saved since. Outlives the page. */
  readonly backupWanted: ReadonlySignal<boolean>;
  /** When the library was last changed, ISO 8601, if there was one and the database is empty now; else `null`. */
  readonly vanishedSince: ReadonlySignal<string | null>;
  backupSaved(): void;
  /** The person begins again: the library that is gone is not named any more. */
  beginAgain(): void;
  /** Looks whether the library is still there. Call before anything is put into the store. Never rejects. */
  look(): Promise<void>;
}

const CHANGED_KEY = 'strokebook-library-changed';
const WANTED_KEY = 'strokebook-backup-wanted';
/** When a library that is gone was last changed; empty once the person knows. */
const VANISHED_KEY = 'strokebook-library-vanished';

/** A database that refuses a write in one of these ways may be gone when the browser starts next. */
const ALARMING: readonly StoreProblemCode[] = ['full', 'unreadable', 'unexpected'];

/** The same store, watched: refused writes and the last change are noted in the storage. */
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

  /** Invented engines are made again by themselves, so they are no library. */
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
