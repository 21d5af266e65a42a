/**
 * Interface of the page to the analysis. `AnalysisHost` runs it, in a worker or in the page. This file adds retries, and
 * live streams that survive the loss of the worker.
 */
import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { AnalysisApi } from '../../worker/api.ts';
import type { LiveReading, ReadingOptions } from '../../worker/core/reading.ts';
import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';
import { type Batch, createBatcher } from './batcher.ts';

/** State of the analysis, for the screens. */
export type AnalystHealth =
  /** No worker has completed its handshake yet. */
  | 'starting'
  /** The analysis runs. */
  | 'working'
  /** The worker crashed or timed out; the next call starts another one. */
  | 'restarting'
  /** No worker starts, so the analysis runs in the page: same figures, less smooth. */
  | 'fallback'
  /**
   * The live analysis gave up on the current samples and detects no strokes. The user can record without it
   * (`recordAnyway`).
   */
  | 'failed';

/** Result type of each method of the analysis. */
export type Answers = { [K in keyof AnalysisApi]: Awaited<ReturnType<AnalysisApi[K]>> };
type Answer<K extends keyof AnalysisApi> = Promise<Answers[K]>;

/** Runs the analysis, in a worker or in the page. */
export interface AnalysisHost {
  /**
   * Rejects with `AnalystLost` when the worker crashes or times out during this call. `arrays` are transferred to the
   * worker, so they must be copies that are not used afterwards. `allowanceMs`: timeout of this call, milliseconds.
   */
  call<K extends keyof AnalysisApi>(
    name: K,
    args: Parameters<AnalysisApi[K]>,
    options?: { readonly arrays?: readonly Float64Array[]; readonly allowanceMs?: number },
  ): Answer<K>;
  readonly health: ReadonlySignal<AnalystHealth>;
  dispose(): void;
}

/** The worker ended before it answered the call. */
export class AnalystLost extends Error {
  override readonly name = 'AnalystLost';
}

/**
 * The analysis as the app uses it. The methods correspond to `AnalysisApi`. A call lost with its worker is repeated once;
 * then it rejects with `AnalystLost`. Errors of the analysis itself reject at once.
 */
export interface Analyst {
  readonly health: ReadonlySignal<AnalystHealth>;
  read(trace: Trace, options: ReadingOptions): Answer<'read'>;
  readTyped(...args: Parameters<AnalysisApi['readTyped']>): Answer<'readTyped'>;
  judge(...args: Parameters<AnalysisApi['judge']>): Answer<'judge'>;
  leaks(...args: Parameters<AnalysisApi['leaks']>): Answer<'leaks'>;
  parseCsv(...args: Parameters<AnalysisApi['parseCsv']>): Answer<'parseCsv'>;
  /** Starts a live analysis. */
  openStream(stream: StreamOptions): AnalystStream;
  dispose(): void;
}

export interface StreamOptions {
  readonly reading: ReadingOptions;
  /** All samples since the start of the stream. Sent at the start, and again to a new worker after a loss. */
  readonly replay: () => Trace;
  /** Called with the live reading of the samples up to `atS`, seconds. Not called after `close`. */
  readonly onLive: (reading: LiveReading, atS: number) => void;
}

/** One live analysis. Its methods never throw. */
export interface AnalystStream {
  push(block: SampleBlock): void;
  gap(gap: Gap): void;
  /** Resolves when all samples pushed so far are analysed, or the stream was closed or gave up. */
  settle(): Promise<void>;
  close(): void;
}

/** Timeouts. A slow phone analyses a minute at 2000 samples a second well within them. */
const PUSH_ALLOWANCE_MS = 1500;
const READ_ALLOWANCE_MS = 1800;
const CSV_ALLOWANCE_MS = 60_000;
/** These calls first fetch a part of the analysis over the network. */
const FETCHING_ALLOWANCE_MS = 30_000;
/** A stream gives up after this many failures in a row on the same samples. Capture continues. */
const MOST_LOSSES = 4;

/** `onError`: called for every failed call, retried ones included. */
export function createAnalyst(host: AnalysisHost, onError: (cause: unknown) => void = () => {}): Analyst {
  /** The newest stream gave up. */
  const hasFailed = signal(false);
  /** Repeats a lost call once: another call may have crashed the worker. */
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
 * Sends one push at a time; samples that arrive meanwhile are batched into the next. After the worker is lost, a new
 * stream is opened and starts with the replay, so it misses no samples.
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
  /** Time of the newest reading reported. Readings of replayed samples up to here are not reported again. */
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
          // The replay contains the queued samples.
          batcher.clear();
          batcher.addTrace(options.replay());
        }
        const batch = batcher.take();
        if (!batch) break;
        await send(id, batch);
        losses = 0;
      } catch (cause) {
        onError(cause);
        // Lost during this call or before it: a new worker does not know the stream.
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
