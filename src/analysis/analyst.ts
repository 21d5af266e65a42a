/**
 * The analyst: the measuring, asked from the page. The same behind it runs in a worker or in the page itself
 * (`AnalysisHost`); this file adds live streams that survive a worker that dies.
 */
import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { AnalysisApi } from '../../worker/api.ts';
import type { LiveReading, ReadingOptions } from '../../worker/core/reading.ts';
import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';
import { type Batch, createBatcher } from './batcher.ts';

/**
 * `fallback`: the worker would not run, so the analysis runs in the page: same figures, less smooth. `failed`: the live analysis
 * gave up on the samples at hand, so no stroke is seen; capture goes on by hand (`recordAnyway`).
 */
export type AnalystHealth = 'starting' | 'working' | 'restarting' | 'fallback' | 'failed';

/** What each question is answered with. */
export type Answers = { [K in keyof AnalysisApi]: Awaited<ReturnType<AnalysisApi[K]>> };
type Asked<K extends keyof AnalysisApi> = Promise<Answers[K]>;

/** Where the measuring runs. */
export interface AnalysisHost {
  /**
   * Rejects with `AnalystLost` when the worker died or hung under this call. `arrays` are moved to the worker and
   * must be copies that nobody needs afterwards. `allowanceMs`: how long this call alone may take.
   */
  call<K extends keyof AnalysisApi>(
    name: K,
    args: Parameters<AnalysisApi[K]>,
    options?: { readonly arrays?: readonly Float64Array[]; readonly allowanceMs?: number },
  ): Asked<K>;
  readonly health: ReadonlySignal<AnalystHealth>;
  dispose(): void;
}

/** The worker is gone, and the call with it. */
export class AnalystLost extends Error {
  override readonly name = 'AnalystLost';
}

export interface Analyst {
  readonly health: ReadonlySignal<AnalystHealth>;
  read(trace: Trace, options: ReadingOptions): Asked<'read'>;
  readTyped(...args: Parameters<AnalysisApi['readTyped']>): Asked<'readTyped'>;
  judge(...args: Parameters<AnalysisApi['judge']>): Asked<'judge'>;
  leaks(...args: Parameters<AnalysisApi['leaks']>): Asked<'leaks'>;
  parseCsv(...args: Parameters<AnalysisApi['parseCsv']>): Asked<'parseCsv'>;
  openStream(stream: StreamOptions): AnalystStream;
  dispose(): void;
}

export interface StreamOptions {
  readonly reading: ReadingOptions;
  /** Everything since the stream began: pushed first, and again to a new worker when the old one died. */
  readonly replay: () => Trace;
  /** The analyst's answer to the samples up to `atS`. Not called any more once closed. */
  readonly onLive: (reading: LiveReading, atS: number) => void;
}

export interface AnalystStream {
  push(block: SampleBlock): void;
  gap(gap: Gap): void;
  /** Resolves when everything pushed so far has been answered, or the stream is closed. */
  settle(): Promise<void>;
  close(): void;
}

/** A slow phone reads a minute at 2000 samples a second well within these. */
const PUSH_ALLOWANCE_MS = 1500;
const READ_ALLOWANCE_MS = 1800;
const CSV_ALLOWANCE_MS = 60_000;
/** Fetches a part of the analysis first, over whatever network there is. */
const FETCHING_ALLOWANCE_MS = 30_000;
/** A stream that loses the analyst this often in a row over the same samples gives up; capture does not. */
const MOST_LOSSES = 4;

/** `onError`: told of every failed call, also of one that is tried again. */
export function createAnalyst(host: AnalysisHost, onError: (cause: unknown) => void = () => {}): Analyst {
  /** The newest stream gave up. */
  const hasFailed = signal(false);
  /** Asks again once if the worker died: it may have died of something else. */
  const ask = async <T>(call: () => Promise<T>): Promise<T> => {
    try {
      return await call();
    } catch (cause) {
      onError(cause);
      if (!(cause instanceof AnalystLost)) throw cause;
      return call();
    }
  };
  return {
    health: computed(() => (hasFailed.value ? 'failed' : host.health.value)),
    read: (trace, options) =>
      ask(() => {
        const copy = { ...trace, timeS: trace.timeS.slice(), pressureKpa: trace.pressureKpa.slice() };
        const arrays = [copy.timeS, copy.pressureKpa];
        return host.call('read', [copy, options], { arrays, allowanceMs: READ_ALLOWANCE_MS });
      }),
    readTyped: (...args) => ask(() => host.call('readTyped', args)),
    judge: (...args) => ask(() => host.call('judge', args, { allowanceMs: FETCHING_ALLOWANCE_MS })),
    leaks: (...args) => ask(() => host.call('leaks', args, { allowanceMs: FETCHING_ALLOWANCE_MS })),
    parseCsv: (...args) => ask(() => host.call('parseCsv', args, { allowanceMs: CSV_ALLOWANCE_MS })),
    openStream(stream) {
      hasFailed.value = false;
      return openStream(host, stream, onError, () => {
        hasFailed.value = true;
      });
    },
    dispose: () => host.dispose(),
  };
}

/**
 * One push is under way at a time; what arrives meanwhile waits and goes together in the next. When the worker is
 * lost, a new stream is opened and begins with the replay, so nothing that arrived is missing from it.
 */
function openStream(
  host: AnalysisHost,
  options: StreamOptions,
  onError: (cause: unknown) => void,
  onGivenUp: () => void,
): AnalystStream {
  const batcher = createBatcher();
  let pumping = false;
  let id: number | null = null;
  let closed = false;
  let losses = 0;
  /** A replay is not news: answers count from here on. */
  let answeredS = Number.NEGATIVE_INFINITY;
  let waiters: (() => void)[] = [];

  const send = async (stream: number, batch: Batch): Promise<void> => {
    for (const gap of batch.gaps) await host.call('gap', [stream, gap]);
    const { timeS, pressureKpa } = batch.block;
    const atS = timeS.at(-1);
    if (atS === undefined) return;
    const allowance = { arrays: [timeS, pressureKpa], allowanceMs: PUSH_ALLOWANCE_MS };
    const live = await host.call('push', [stream, batch.block], allowance);
    if (closed || atS <= answeredS) return;
    answeredS = atS;
    options.onLive(live, atS);
  };

  const pump = async (): Promise<void> => {
    if (pumping) return;
    pumping = true;
    while (!closed && losses < MOST_LOSSES) {
      try {
        if (id === null) {
          id = await host.call('open', [options.reading]);
          // The replay holds whatever waited.
          batcher.clear();
          batcher.addTrace(options.replay());
        }
        const batch = batcher.take();
        if (!batch) break;
        await send(id, batch);
        losses = 0;
      } catch (cause) {
        onError(cause);
        // The worker was lost under this call, or between two: then the new one does not know the stream.
        id = null;
        losses++;
        if (losses === MOST_LOSSES && !closed) onGivenUp();
      }
    }
    pumping = false;
    for (const done of waiters) done();
    waiters = [];
  };

  void pump();
  return {
    push(block) {
      batcher.add(block);
      if (batcher.ripe()) void pump();
    },
    gap: (gap) => batcher.addGap(gap),
    async settle() {
      if (closed) return;
      const settled = new Promise<void>((resolve) => waiters.push(resolve));
      void pump();
      await settled;
    },
    close() {
      closed = true;
      if (id !== null) void host.call('drop', [id]).catch(() => {});
    },
  };
}
