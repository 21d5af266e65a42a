/** Worker that keeps in step with a shared library. One tab has the connection; the workers of the others wait for it. */
import { createDatabase } from '../store/database.ts';
import { openDocuments } from './documents.ts';
import { forgetCapturesOf } from './forget-captures.ts';
import { type Live, startLive } from './live.ts';
import type { FromLiveWorker, ToLiveWorker } from './live-messages.ts';

/** Between the workers of all tabs. */
const channel = new BroadcastChannel('strokebook-live');
let live: Live | null = null;
/** Changes of the time before the documents were open. */
let early: string[] = [];

const tell = (message: FromLiveWorker): void => {
  postMessage(message);
  channel.postMessage(message);
};

/** Each makes the page read its lists again. */
const CHANGES_EVERY_MS = 400;
let changesTimer: ReturnType<typeof setTimeout> | null = null;
let hasMore = false;

/** At once, then at most every `CHANGES_EVERY_MS`. */
function tellChanges(): void {
  if (changesTimer !== null) {
    hasMore = true;
    return;
  }
  tell({ kind: 'changes' });
  changesTimer = setTimeout(() => {
    changesTimer = null;
    if (hasMore) tellChanges();
  }, CHANGES_EVERY_MS);
  hasMore = false;
}

const changed = (names: readonly string[]): void => {
  if (live) live.changed(names);
  else early.push(...names);
};

channel.addEventListener('message', ({ data }: MessageEvent<FromLiveWorker | ToLiveWorker>) => {
  if (data.kind === 'changed') {
    if (live) live.changed(data.names);
  } else if (data.kind !== 'start') postMessage(data);
});

addEventListener('message', ({ data }: MessageEvent<ToLiveWorker>) => {
  if (data.kind === 'changed') {
    changed(data.names);
    if (!live) channel.postMessage(data);
    return;
  }
  // Held until this worker ends.
  void navigator.locks.request('strokebook-live', () => run(data.baseUrl, data.token));
});

async function run(baseUrl: string, token: string): Promise<never> {
  const trouble = (cause: unknown): void =>
    tell({ kind: 'trouble', message: cause instanceof Error ? cause.message : String(cause) });
  const documents = await openDocuments(createDatabase('strokebook'), () => new Date().toISOString());
  await documents.gather().catch(trouble);
  live = startLive({
    documents,
    baseUrl,
    token,
    onStatus: (status) => tell({ kind: 'status', status }),
    onChanges: ({ removedTests }) => {
      void forgetCapturesOf(removedTests);
      tellChanges();
    },
    onTrouble: trouble,
  });
  live.changed(early);
  early = [];
  return new Promise(() => undefined);
}
