/** Membership of this device in the shared library of the computer that serves the app. */
import { type ReadonlySignal, signal } from '@preact/signals';
import type { Log } from '../platform/ports.ts';
import type { ShareLog } from '../platform/share-log.ts';
import type { Database, Membership } from '../store/database.ts';
import type { LiveStatus } from './live.ts';
import type { FromLiveWorker, ToLiveWorker } from './live-messages.ts';

const OWN = 'own';

export interface SharedDevice {
  readonly id: string;
  readonly name: string;
  readonly joinedAt: string;
  readonly seenAt: string;
}

export interface SharedLibrary {
  /** `null`: this device has not joined. */
  readonly membership: ReadonlySignal<Membership | null>;
  /** `null` until the worker reports. */
  readonly status: ReadonlySignal<LiveStatus | null>;
  /** Whether this address has a shared library. */
  isOffered(): Promise<boolean>;
  /** `secret`: of the code. `false`: it is wrong or too old. Rejects when the server does not answer. */
  join(secret: string, name: string): Promise<boolean>;
  /** All devices; `null` when this one was revoked. Rejects when the server does not answer. */
  devices(): Promise<readonly SharedDevice[] | null>;
  rename(id: string, name: string): Promise<void>;
  /** Also for this device: it then leaves, and keeps its records. */
  revoke(id: string): Promise<void>;
  /** Records were changed on this device; see `notifyChanges`. */
  changed(names: readonly string[]): void;
}

export interface SharedLibraryDependencies {
  readonly database: Pick<Database, 'read' | 'write'>;
  readonly log: Log;
  readonly shares: ShareLog;
  /** Address of the app, ending in a slash. */
  readonly baseUrl: string;
  readonly spawn: () => Worker;
  /** Records were changed by another device. */
  readonly onChanges: () => void;
}

/** Connects at once when this device has joined before. */
export function createSharedLibrary(deps: SharedLibraryDependencies): SharedLibrary {
  const { database, log, shares, baseUrl } = deps;
  const membership = signal<Membership | null>(null);
  const status = signal<LiveStatus | null>(null);
  let worker: Worker | null = null;

  const send = (message: ToLiveWorker): void => worker?.postMessage(message);
  const connect = (): void => {
    if (!membership.value || worker) return;
    worker = deps.spawn();
    worker.addEventListener('message', ({ data }: MessageEvent<FromLiveWorker>) => {
      if (data.kind === 'changes') deps.onChanges();
      if (data.kind === 'trouble') log.add('shared library', new Error(data.message));
      if (data.kind !== 'status') return;
      if (data.status.state === 'together') shares.add(`shared library at ${new URL(baseUrl).host}`);
      status.value = data.status;
    });
    send({ kind: 'start', baseUrl, token: membership.value.token });
  };
  const leave = (): void => {
    worker?.terminate();
    worker = null;
    status.value = null;
    membership.value = null;
    void database
      .write(['membership'], (tx) => tx.objectStore('membership').delete(OWN))
      .catch((cause: unknown) => log.add('shared library', cause));
  };
  const call = (what: string, body?: object): Promise<Response> =>
    fetch(new URL(`shared-library/${what}`, baseUrl), {
      ...(body && { method: 'POST', body: JSON.stringify(body) }),
      headers: { Authorization: `Bearer ${membership.value?.token ?? ''}` },
    });
  void database
    .read(['membership'], (tx) => tx.objectStore('membership').get(OWN))
    .then((kept) => {
      membership.value ??= kept ?? null;
      connect();
    })
    // The screens say that the store does not answer.
    .catch(() => undefined);

  return {
    membership,
    status,
    async isOffered() {
      const response = await call('hello').catch(() => null);
      // Other servers answer unknown addresses with the page.
      return response?.headers.get('Content-Type')?.includes('json') === true;
    },
    async join(secret, name) {
      const response = await call('join', { secret, name });
      if (!response.ok) return false;
      const joined = (await response.json()) as Membership;
      await database.write(['membership'], (tx) => tx.objectStore('membership').put(joined, OWN));
      membership.value = joined;
      connect();
      return true;
    },
    async devices() {
      const response = await call('devices');
      if (response.status === 401) return null;
      return ((await response.json()) as { devices: SharedDevice[] }).devices;
    },
    async rename(id, name) {
      await call('rename', { id, name });
    },
    async revoke(id) {
      const isOwn = id === membership.value?.id;
      await call('revoke', { id }).catch((cause: unknown) => {
        if (!isOwn) throw cause;
      });
      if (isOwn) leave();
    },
    changed: (names) => send({ kind: 'changed', names }),
  };
}
