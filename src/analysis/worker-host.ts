/**
 * Manages the analysis worker: lazy start, `ready` handshake within 2 s, a timeout per call, restart after a crash or
 * timeout. Every call settles.
 */
import { signal } from '@preact/signals';
import type * as Comlink from 'comlink';
import type { AnalysisApi } from '../../worker/api.ts';
import type { Clock } from '../platform/ports.ts';
import type { AnalystHealth } from './analyst.ts';
import { type AnalysisHost, AnalystLost, type Answers } from './analyst.ts';
import { createPageHost } from './page-host.ts';

/** The part of `Worker` that is used; tests provide a fake. */
export interface WorkerLike extends Comlink.Endpoint {
  terminate(): void;
}

export interface WorkerHostOptions {
  readonly spawn: () => WorkerLike;
  readonly clock: Clock;
  /** The same analysis in the page, used when no worker starts. */
  readonly fallback: () => Promise<AnalysisApi>;
}

const HANDSHAKE_MS = 2000;
/** Default timeout of a call. */
const CALL_MS = 1500;
/** After this many failed starts in a row, the analysis runs in the page. */
const MOST_FAILED_STARTS = 2;

/** One worker. */
interface WorkerInstance {
  readonly api: Comlink.Remote<AnalysisApi>;
  readonly transfer: typeof Comlink.transfer;
  readonly lost: Promise<never>;
  /** Terminates the worker and rejects its pending calls. */
  end(why: string): void;
  /** Starts the timeout of a call. The returned function ends it. */
  beginCall(allowanceMs: number): () => void;
}

/** A host that starts its worker at the first call. */
export function createWorkerHost(options: WorkerHostOptions): AnalysisHost {
  const { spawn, clock, fallback } = options;
  const health = signal<AnalystHealth>('starting');
  let current: Promise<WorkerInstance> | null = null;
  let inPage: Promise<AnalysisHost> | null = null;
  let failedStarts = 0;
  let disposed = false;

  const forget = (instance: Promise<WorkerInstance>): void => {
    if (current !== instance) return;
    current = null;
    if (health.value === 'working') health.value = 'restarting';
  };

  const start = (): Promise<WorkerInstance> => {
    const instance: Promise<WorkerInstance> = begin(spawn, clock, () => forget(instance)).then(
      (alive) => {
        failedStarts = 0;
        health.value = 'working';
        return alive;
      },
      (cause: unknown) => {
        failedStarts++;
        forget(instance);
        throw cause;
      },
    );
    return instance;
  };

  /** A worker whose handshake succeeded; `null` once the page takes over. */
  const alive = async (): Promise<WorkerInstance | null> => {
    while (failedStarts < MOST_FAILED_STARTS) {
      if (disposed) throw new AnalystLost('the analyst was disposed of');
      current ??= start();
      const instance = await current.catch(() => null);
      if (instance) return instance;
    }
    return null;
  };

  return {
    health,
    async call(name, args, { arrays = [], allowanceMs = CALL_MS } = {}) {
      const instance = await alive();
      if (!instance) {
        health.value = 'fallback';
        inPage ??= fallback().then((analysis) => createPageHost(analysis, 'fallback'));
        return (await inPage).call(name, args);
      }
      const answered = instance.beginCall(allowanceMs);
      try {
        return await Promise.race([post(instance, name, args, arrays), instance.lost]);
      } finally {
        answered();
      }
    },
    dispose() {
      disposed = true;
      const instance = current;
      current = null;
      void instance?.then((one) => one.end('disposed of')).catch(() => {});
    },
  };
}

async function begin(spawn: () => WorkerLike, clock: Clock, onLost: () => void): Promise<WorkerInstance> {
  // Loaded on demand, to keep the first load small.
  const { transfer, wrap } = await import('comlink');
  const worker = spawn();
  // Keeps the proxy reachable: a collected proxy drops its pending answers.
  const api = wrap<AnalysisApi>(worker);
  let reject: (cause: AnalystLost) => void = () => {};
  const lost = new Promise<never>((_, no) => {
    reject = no;
  });
  lost.catch(() => {});
  let ended = false;
  let pendingCalls = 0;
  let deadlineMs = 0;
  let cancelWatch: (() => void) | null = null;

  const end = (why: string): void => {
    if (ended) return;
    ended = true;
    cancelWatch?.();
    worker.terminate();
    onLost();
    reject(new AnalystLost(`The analysis worker is gone: ${why}.`));
  };

  const watch = (): void => {
    cancelWatch?.();
    const plannedMs = deadlineMs;
    cancelWatch = clock.after(Math.max(0, deadlineMs - clock.nowMs()), () => {
      cancelWatch = null;
      if (pendingCalls === 0 || ended) return;
      const lateMs = clock.nowMs() - plannedMs;
      // The page was suspended, so the reply may already be queued. Extend the deadline once.
      if (lateMs > 1000) deadlineMs = clock.nowMs() + CALL_MS;
      if (clock.nowMs() < deadlineMs) watch();
      else end('no answer');
    });
  };

  const beginCall = (allowanceMs: number): (() => void) => {
    // The worker answers in order, so earlier calls come first.
    deadlineMs = Math.max(pendingCalls > 0 ? deadlineMs : 0, clock.nowMs() + allowanceMs);
    pendingCalls++;
    if (!cancelWatch) watch();
    return () => {
      pendingCalls--;
      if (pendingCalls > 0) return;
      cancelWatch?.();
      cancelWatch = null;
    };
  };

  worker.addEventListener('error', () => end('it failed'));
  worker.addEventListener('messageerror', () => end('a message could not be read'));
  const handshakeDone = beginCall(HANDSHAKE_MS);
  try {
    await Promise.race([api.ready(), lost]);
  } finally {
    handshakeDone();
  }
  return { api, transfer, lost, end, beginCall };
}

function post<K extends keyof AnalysisApi>(
  { api, transfer }: Pick<WorkerInstance, 'api' | 'transfer'>,
  name: K,
  args: Parameters<AnalysisApi[K]>,
  arrays: readonly Float64Array[],
): Promise<Answers[K]> {
  const method = api[name] as unknown as (...all: unknown[]) => Promise<Answers[K]>;
  if (arrays.length === 0) return method(...args);
  // Comlink remembers transferables by object, so they are attached to the argument made for this call.
  const carrier = args.find((arg) => typeof arg === 'object');
  const buffers = arrays.map((array) => array.buffer as ArrayBuffer);
  return method(...args.map((arg) => (arg === carrier ? transfer(arg as object, buffers) : arg)));
}
