/**
 * Owns the life of the analysis worker: started when first needed, greeted within two seconds, watched while it owes
 * an answer, ended and started anew when it dies or hangs. Every call is settled whatever happens to it.
 */
import { signal } from '@preact/signals';
import type * as Comlink from 'comlink';
import type { AnalysisApi } from '../../worker/api.ts';
import type { Clock } from '../platform/ports.ts';
import type { AnalystHealth } from './analyst.ts';
import { type AnalysisHost, AnalystLost, type Answers } from './analyst.ts';
import { createPageHost } from './page-host.ts';

/** What is asked of a `Worker`; tests bring their own. */
export interface WorkerLike extends Comlink.Endpoint {
  terminate(): void;
}

export interface WorkerHostOptions {
  readonly spawn: () => WorkerLike;
  readonly clock: Clock;
  /** The measuring in the page, should no worker come up. */
  readonly fallback: () => Promise<AnalysisApi>;
}

const GREETING_MS = 2000;
/** Allowance of calls that ask for none. */
const CALL_MS = 1500;
/** So many workers in a row that never greeted mean that none will. */
const MOST_STILLBORN = 2;

/** One worker. */
interface Life {
  readonly api: Comlink.Remote<AnalysisApi>;
  readonly transfer: typeof Comlink.transfer;
  readonly lost: Promise<never>;
  /** Ends it and rejects everything that it owes. */
  end(why: string): void;
  /** Takes note of a call; gives back what takes note of its answer. */
  owe(allowanceMs: number): () => void;
}

export function createWorkerHost(options: WorkerHostOptions): AnalysisHost {
  const { spawn, clock, fallback } = options;
  const health = signal<AnalystHealth>('starting');
  let current: Promise<Life> | null = null;
  let inPage: Promise<AnalysisHost> | null = null;
  let stillborn = 0;
  let disposed = false;

  const forget = (life: Promise<Life>): void => {
    if (current !== life) return;
    current = null;
    if (health.value === 'working') health.value = 'restarting';
  };

  const start = (): Promise<Life> => {
    const life: Promise<Life> = begin(spawn, clock, () => forget(life)).then(
      (alive) => {
        stillborn = 0;
        health.value = 'working';
        return alive;
      },
      (cause: unknown) => {
        stillborn++;
        forget(life);
        throw cause;
      },
    );
    return life;
  };

  /** A worker that has greeted; `null` once it is clear that none will. */
  const alive = async (): Promise<Life | null> => {
    while (stillborn < MOST_STILLBORN) {
      if (disposed) throw new AnalystLost('the analyst was disposed of');
      current ??= start();
      const life = await current.catch(() => null);
      if (life) return life;
    }
    return null;
  };

  return {
    health,
    async call(name, args, { arrays = [], allowanceMs = CALL_MS } = {}) {
      const life = await alive();
      if (!life) {
        health.value = 'fallback';
        inPage ??= fallback().then((analysis) => createPageHost(analysis, 'fallback'));
        return (await inPage).call(name, args);
      }
      const answered = life.owe(allowanceMs);
      try {
        return await Promise.race([post(life, name, args, arrays), life.lost]);
      } finally {
        answered();
      }
    },
    dispose() {
      disposed = true;
      const life = current;
      current = null;
      void life?.then((one) => one.end('disposed of')).catch(() => {});
    },
  };
}

async function begin(spawn: () => WorkerLike, clock: Clock, onLost: () => void): Promise<Life> {
  // Not part of what the page loads at once.
  const { transfer, wrap } = await import('comlink');
  const worker = spawn();
  // Held here for as long as the worker lives: a proxy that is collected takes pending answers with it.
  const api = wrap<AnalysisApi>(worker);
  let reject: (cause: AnalystLost) => void = () => {};
  const lost = new Promise<never>((_, no) => {
    reject = no;
  });
  lost.catch(() => {});
  let ended = false;
  let owed = 0;
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
      if (owed === 0 || ended) return;
      const lateMs = clock.nowMs() - plannedMs;
      // The page itself was asleep: the answer may lie in its letter box already, so give it time to be read.
      if (lateMs > 1000) deadlineMs = clock.nowMs() + CALL_MS;
      if (clock.nowMs() < deadlineMs) watch();
      else end('no answer');
    });
  };

  const owe = (allowanceMs: number): (() => void) => {
    // The worker answers in order, so what it owes already comes first.
    deadlineMs = Math.max(owed > 0 ? deadlineMs : 0, clock.nowMs() + allowanceMs);
    owed++;
    if (!cancelWatch) watch();
    return () => {
      owed--;
      if (owed > 0) return;
      cancelWatch?.();
      cancelWatch = null;
    };
  };

  worker.addEventListener('error', () => end('it failed'));
  worker.addEventListener('messageerror', () => end('a message could not be read'));
  const greeted = owe(GREETING_MS);
  try {
    await Promise.race([api.ready(), lost]);
  } finally {
    greeted();
  }
  return { api, transfer, lost, end, owe };
}

function post<K extends keyof AnalysisApi>(
  { api, transfer }: Pick<Life, 'api' | 'transfer'>,
  name: K,
  args: Parameters<AnalysisApi[K]>,
  arrays: readonly Float64Array[],
): Promise<Answers[K]> {
  const method = api[name] as unknown as (...all: unknown[]) => Promise<Answers[K]>;
  if (arrays.length === 0) return method(...args);
  // The one made for this call: Comlink remembers what it was told to move along with an object.
  const carrier = args.find((arg) => typeof arg === 'object');
  const buffers = arrays.map((array) => array.buffer as ArrayBuffer);
  return method(...args.map((arg) => (arg === carrier ? transfer(arg as object, buffers) : arg)));
}
