import { type DBSchema, type IDBPDatabase, type IDBPTransaction, openDB, type StoreNames } from 'idb';
import type { EngineRecord, Photo, PlugRecord, TakeRecord, TestRecord } from '../../worker/file/records.ts';
import type { Chunk } from './chunks.ts';
import { StoreProblem } from './port.ts';

/** Each schema change is a new version with its own step in `upgrade`. */
const SCHEMA_VERSION = 3;

interface Schema extends DBSchema {
  engines: { key: string; value: EngineRecord };
  tests: { key: string; value: TestRecord; indexes: { engineId: string } };
  takes: { key: string; value: TakeRecord; indexes: { testId: string; state: string } };
  chunks: { key: [takeId: string, index: number]; value: Chunk };
  plugs: { key: string; value: PlugRecord; indexes: { engineId: string } };
  /** Separate from the records, which are listed far more often than photos are shown. */
  photos: { key: string; value: Photo & { readonly plugId: string } };
  /** Documents of shared records, empty until the library is shared; see `src/share`. */
  documents: { key: string; value: StoredDocument };
  /** Separate from the documents, which are large. */
  summaries: { key: string; value: DocumentSummary };
  /** At most one, under the key `own`. */
  membership: { key: string; value: Membership };
}

/** This device in a shared library. Not in the small storage, which a killed browser may not have written yet. */
export interface Membership {
  readonly id: string;
  readonly token: string;
}

/** A document as one Yjs update. */
interface StoredDocument {
  readonly name: string;
  readonly state: Uint8Array;
}

/** What is known of a stored document without opening it. */
export interface DocumentSummary {
  readonly name: string;
  /** Digest of its state vector. */
  readonly digest: string;
  /** Digest of the records on this device when they were last compared with the document. */
  readonly mark: string;
  /** Test: the engine that the document names. */
  readonly engineId?: string | undefined;
  /** `null`: not removed. */
  readonly removal: { readonly at: string; readonly into?: string | undefined } | null;
  /** Whether a usable record has arrived. */
  readonly isWhole: boolean;
}

/** Names of the object stores. */
export type Names = StoreNames<Schema>;
/** A transaction over any of the object stores. */
export type Transaction<Mode extends IDBTransactionMode> = IDBPTransaction<Schema, Names[], Mode>;

/**
 * A database that opens at first use, and again after the browser has closed it. `work` must await only database requests,
 * because the browser commits the transaction otherwise. Rejects with a `StoreProblem`.
 */
export interface Database {
  read<T>(names: Names[], work: (tx: Transaction<'readonly'>) => Promise<T>): Promise<T>;
  /** Resolves when all of `work` is on disk. When it rejects, nothing was changed. */
  write<T>(names: Names[], work: (tx: Transaction<'readwrite'>) => Promise<T>): Promise<T>;
}

interface Opening {
  readonly db: Promise<IDBPDatabase<Schema>>;
  /** Rejects when another tab blocks the upgrade; `db` may still resolve later. */
  readonly blocked: Promise<never>;
}

/** The database `name` of this origin. `version`: for tests. */
export function createDatabase(name: string, version = SCHEMA_VERSION): Database {
  let opening: Opening | undefined;

  const drop = (): void => {
    opening = undefined;
  };

  const open = (): Opening => {
    let reportBlocked: (problem: StoreProblem) => void = () => undefined;
    const blocked = new Promise<never>((_, reject) => {
      reportBlocked = reject;
    });
    blocked.catch(() => undefined);
    const db = openDB<Schema>(name, version, {
      upgrade,
      // Another tab has an older version open. Opening continues by itself once that tab is closed.
      blocked: () => reportBlocked(new StoreProblem('blocked', 'Another tab holds an older store open.')),
      // A newer app version in another tab needs to upgrade: close the connection.
      blocking(_current, _wanted, event) {
        (event.target as IDBDatabase).close();
        drop();
      },
      terminated: drop,
    });
    const started = { db, blocked };
    db.catch(() => {
      if (opening === started) drop();
    });
    return started;
  };

  const connect = async (): Promise<IDBPDatabase<Schema>> => {
    try {
      opening ??= open();
      return await Promise.race([opening.db, opening.blocked]);
    } catch (cause) {
      throw problemOf(cause, 'unreadable');
    }
  };

  const run = async <Mode extends 'readonly' | 'readwrite', T>(
    names: Names[],
    mode: Mode,
    work: (tx: Transaction<Mode>) => Promise<T>,
  ): Promise<T> => {
    for (let attempt = 1; ; attempt++) {
      const db = await connect();
      try {
        return await inTransaction(db, names, mode, work);
      } catch (cause) {
        if (attempt > 1 || !isConnectionGone(cause)) throw problemOf(cause, 'unexpected');
        db.close();
        drop();
      }
    }
  };

  return {
    read: (names, work) => run(names, 'readonly', work),
    write: (names, work) => run(names, 'readwrite', work),
  };
}

function upgrade(db: IDBPDatabase<Schema>, oldVersion: number): void {
  if (oldVersion < 1) {
    db.createObjectStore('engines', { keyPath: 'id' });
    db.createObjectStore('tests', { keyPath: 'id' }).createIndex('engineId', 'engineId');
    const takes = db.createObjectStore('takes', { keyPath: 'id' });
    takes.createIndex('testId', 'testId');
    takes.createIndex('state', 'state');
    db.createObjectStore('chunks', { keyPath: ['takeId', 'index'] });
  }
  if (oldVersion < 2) {
    db.createObjectStore('plugs', { keyPath: 'id' }).createIndex('engineId', 'engineId');
    db.createObjectStore('photos', { keyPath: 'plugId' });
  }
  if (oldVersion < 3) {
    db.createObjectStore('documents', { keyPath: 'name' });
    db.createObjectStore('summaries', { keyPath: 'name' });
    db.createObjectStore('membership');
  }
}

async function inTransaction<Mode extends 'readonly' | 'readwrite', T>(
  db: IDBPDatabase<Schema>,
  names: Names[],
  mode: Mode,
  work: (tx: Transaction<Mode>) => Promise<T>,
): Promise<T> {
  const tx = db.transaction(names, mode, { durability: mode === 'readwrite' ? 'strict' : 'default' });
  const working = work(tx).catch((cause: unknown) => {
    try {
      tx.abort();
    } catch {
      // The transaction has already ended, which caused the failure.
    }
    throw cause;
  });
  // Await both promises, so that neither causes an unhandled rejection.
  const [result, done] = await Promise.allSettled([working, tx.done]);
  if (result.status === 'fulfilled' && done.status === 'fulfilled') return result.value;
  const causes = [result, done].flatMap((one) => (one.status === 'rejected' ? [one.reason as unknown] : []));
  // An aborted transaction rejects its requests with "AbortError"; the other error has the cause.
  throw causes.find((cause) => nameOf(cause) !== 'AbortError') ?? causes[0];
}

const nameOf = (cause: unknown): string =>
  typeof cause === 'object' && cause !== null && 'name' in cause ? String(cause.name) : '';

/** Errors of a connection that the browser has closed. */
const isConnectionGone = (cause: unknown): boolean =>
  ['InvalidStateError', 'AbortError', 'UnknownError'].includes(nameOf(cause));

/** Maps a browser error to a `StoreProblem`. `otherwise`: `unreadable` while opening, `unexpected` in use. */
function problemOf(cause: unknown, otherwise: 'unreadable' | 'unexpected'): StoreProblem {
  if (cause instanceof StoreProblem) return cause;
  switch (nameOf(cause)) {
    case 'QuotaExceededError':
      return new StoreProblem('full', 'The browser gives no more room.', { cause });
    case 'VersionError':
      return new StoreProblem('closed', 'A newer version of this app has taken the store over.', { cause });
    case 'NotReadableError':
    case 'DataError':
    case 'UnknownError':
      return new StoreProblem('unreadable', 'The browser cannot read its store.', { cause });
    case 'InvalidStateError':
    case 'AbortError':
      return otherwise === 'unreadable'
        ? new StoreProblem('unreadable', 'The browser cannot open its store.', { cause })
        : new StoreProblem('closed', 'The browser has closed the store.', { cause });
    default:
      return new StoreProblem(otherwise, 'The store refused.', { cause });
  }
}
