/**
 * Keeps the documents of this device and of a shared library in step while the connection lasts. Each document is opened
 * only while it differs; announcements of the server and changes on this device say which ones do.
 */
import { HocuspocusProvider, HocuspocusProviderWebsocket } from '@hocuspocus/provider';
import * as Y from 'yjs';
import { ANY_RECORD } from '../store/notify-changes.ts';
import { documentOf, parseDocumentName } from './document.ts';
import type { Changes, Documents, DocumentUpdate } from './documents.ts';

/** Documents in exchange at once. */
const AT_ONCE = 48;
/** Arrived documents that are merged together. */
const MERGED_AT_ONCE = 48;
/** The server takes no larger document. */
const MAX_DOCUMENT_BYTES = 32e6;
const ANSWER_WITHIN_MS = 20_000;
/** Writes shortly after each other are compared once. */
const GATHER_AFTER_MS = 80;
const RETRY_AFTER_MS = 5_000;

/**
 * `connecting`: not reached yet, or lost; it is tried again by itself. `together`: in step. `working`: `left` documents
 * differ. `refused`: this device's token was revoked.
 */
export interface LiveStatus {
  readonly state: 'connecting' | 'working' | 'together' | 'refused';
  readonly left: number;
  /** Documents beyond the server's limit stay on this device. */
  readonly tooLarge: number;
}

export interface LiveOptions {
  readonly documents: Documents;
  /** Address of the app, ending in a slash. */
  readonly baseUrl: string;
  readonly token: string;
  /** Default: the platform's. */
  readonly socket?: typeof WebSocket | undefined;
  readonly onStatus: (status: LiveStatus) => void;
  /** Records on this device were changed by others. */
  readonly onChanges: (changes: Changes) => void;
  /** Failures that are tried again. */
  readonly onTrouble: (cause: unknown) => void;
}

export interface Live {
  /** Documents whose records were changed on this device. */
  changed(names: Iterable<string>): void;
  close(): void;
}

interface Catalog {
  readonly epoch: string;
  readonly revision: number;
  readonly documents: readonly (readonly [name: string, digest: string])[];
}

/** Connects, and again after each loss. */
export function startLive(options: LiveOptions): Live {
  const { documents, baseUrl, token, onStatus, onChanges, onTrouble } = options;
  const Socket = options.socket ?? WebSocket;
  class SharedSocket extends Socket {
    constructor(url: string | URL) {
      super(url, ['strokebook-share', token]);
    }
  }
  const library = new URL('shared-library/', baseUrl);
  const queue = new Set<string>();
  const busy = new Set<string>();
  const tooLarge = new Set<string>();
  const gathering = new Set<string>();
  let arrived: DocumentUpdate[] = [];
  let known: { epoch: string; revision: number } = { epoch: '', revision: -1 };
  let isConnected = false;
  let isCompared = false;
  let isClosed = false;
  let gatherTimer: ReturnType<typeof setTimeout> | undefined;
  let retryTimer: ReturnType<typeof setTimeout> | undefined;
  /** Merges run one after the other. */
  let merging: Promise<void> = Promise.resolve();
  let mergesLeft = 0;

  const report = (): void => {
    if (isClosed) return;
    const left = queue.size + busy.size + mergesLeft;
    const state = !isConnected ? 'connecting' : left === 0 && isCompared ? 'together' : 'working';
    onStatus({ state, left, tooLarge: tooLarge.size });
  };

  const retryLater = (names: Iterable<string>): void => {
    for (const name of names) queue.add(name);
    retryTimer ??= setTimeout(() => {
      retryTimer = undefined;
      drain();
    }, RETRY_AFTER_MS);
  };

  const merge = (): void => {
    const updates = arrived;
    arrived = [];
    if (updates.length === 0) return;
    mergesLeft++;
    merging = merging
      .then(async () => {
        const changes = await documents.merge(updates);
        if (changes.engines.size + changes.tests.size > 0) onChanges(changes);
        // Merging may have found a change made on this device, which the server lacks.
        const names = new Set(updates.map(({ name }) => name));
        for (const name of changes.documents)
          if (!names.has(name) || changes.ownChanges.has(name)) queue.add(name);
        if (changes.deferred.size > 0) retryLater(changes.deferred);
      })
      .catch((cause: unknown) => {
        onTrouble(cause);
        retryLater(updates.map(({ name }) => name));
      })
      .finally(() => {
        mergesLeft--;
        drain();
      });
  };

  const drain = (): void => {
    if (isConnected && !isClosed)
      for (const name of queue) {
        if (busy.size >= AT_ONCE) break;
        if (busy.has(name)) continue;
        queue.delete(name);
        busy.add(name);
        void exchange(name)
          .catch((cause: unknown) => {
            onTrouble(cause);
            retryLater([name]);
          })
          .finally(() => {
            busy.delete(name);
            if (arrived.length >= MERGED_AT_ONCE || (busy.size === 0 && queue.size === 0)) merge();
            drain();
          });
      }
    report();
  };

  /** Sends what the server lacks of a document, and fetches what it has. */
  const exchange = async (name: string): Promise<void> => {
    const state = await documents.state(name);
    if (state && state.length > MAX_DOCUMENT_BYTES) {
      tooLarge.add(name);
      return;
    }
    const doc = documentOf(state);
    const before = Y.encodeStateVector(doc);
    let hasNews = false;
    doc.on('update', () => {
      hasNews = true;
    });
    await new Promise<void>((resolve, reject) => {
      const end = (problem?: Error): void => {
        clearTimeout(timer);
        provider.destroy();
        ending.delete(end);
        if (problem) reject(problem);
        else resolve();
      };
      const timer = setTimeout(() => end(new Error('No answer.')), ANSWER_WITHIN_MS);
      ending.add(end);
      const look = (): void => {
        if (provider.isSynced && provider.unsyncedChanges === 0) end();
      };
      const provider = new HocuspocusProvider({
        websocketProvider: socket,
        name,
        document: doc,
        token,
        awareness: null,
        onSynced: look,
        onUnsyncedChanges: look,
        onAuthenticationFailed: () => end(new Error('Refused.')),
      });
      provider.attach();
    });
    if (hasNews) arrived.push({ name, update: Y.encodeStateAsUpdate(doc, before) });
    doc.destroy();
  };
  /** Ends exchanges that have no connection any more. */
  const ending = new Set<(problem: Error) => void>();

  const compare = async (): Promise<void> => {
    const url = new URL('catalog', library);
    url.searchParams.set('epoch', known.epoch);
    url.searchParams.set('since', String(known.revision));
    const response = await fetch(url, { headers: { Authorization: `Bearer ${token}` } });
    if (response.status === 401) {
      stop();
      onStatus({ state: 'refused', left: 0, tooLarge: 0 });
      return;
    }
    if (!response.ok) throw new Error(`The server answered ${response.status}.`);
    const catalog = (await response.json()) as Catalog;
    const own = documents.digests();
    const theirs = new Map(catalog.documents.filter(([name]) => parseDocumentName(name)));
    for (const [name, digest] of theirs) if (own.get(name) !== digest) queue.add(name);
    // Another run of the server: it may have lost what it had not written, and all is compared.
    if (catalog.epoch !== known.epoch)
      for (const [name, digest] of own) if (theirs.get(name) !== digest) queue.add(name);
    known = { epoch: catalog.epoch, revision: catalog.revision };
    isCompared = true;
    drain();
  };

  const compareSoon = (): void => {
    void compare().catch((cause: unknown) => {
      onTrouble(cause);
      setTimeout(() => isConnected && !isClosed && compareSoon(), RETRY_AFTER_MS);
    });
  };

  const announced = (payload: string): void => {
    const { epoch, changed } = JSON.parse(payload) as {
      readonly epoch: string;
      readonly changed: readonly (readonly [string, string])[];
    };
    if (epoch !== known.epoch) return;
    const own = documents.digests();
    for (const [name, digest] of changed)
      if (parseDocumentName(name) && own.get(name) !== digest) queue.add(name);
    drain();
  };

  const gather = (): void => {
    gatherTimer = undefined;
    const names = gathering.has(ANY_RECORD) ? undefined : [...gathering];
    gathering.clear();
    void documents
      .gather(names)
      .then(({ documents: changed }) => {
        for (const name of changed) queue.add(name);
        drain();
      })
      .catch(onTrouble);
  };

  const socket = new HocuspocusProviderWebsocket({
    url: new URL('socket', library).href.replace(/^http/, 'ws'),
    WebSocketPolyfill: SharedSocket,
    delay: 500,
    minDelay: 500,
    factor: 1.5,
    maxDelay: 15_000,
    onConnect: () => {
      isConnected = true;
      isCompared = false;
      compareSoon();
      report();
    },
    onClose: () => {
      isConnected = false;
      for (const end of ending) end(new Error('The connection was lost.'));
      report();
      // A revoked token is refused before there is a connection.
      if (!isClosed) void compare().catch(() => undefined);
    },
  });
  const catalogProvider = new HocuspocusProvider({
    websocketProvider: socket,
    name: 'catalog',
    document: new Y.Doc(),
    token,
    awareness: null,
    onStateless: ({ payload }) => announced(payload),
  });
  catalogProvider.attach();

  const stop = (): void => {
    isClosed = true;
    clearTimeout(gatherTimer);
    clearTimeout(retryTimer);
    catalogProvider.destroy();
    socket.destroy();
  };

  return {
    changed(names) {
      for (const name of names) gathering.add(name);
      if (gathering.size === 0) return;
      gatherTimer ??= setTimeout(gather, GATHER_AFTER_MS);
    },
    close: stop,
  };
}
