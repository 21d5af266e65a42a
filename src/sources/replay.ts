import type { Gap, Trace } from '../../worker/core/trace.ts';
import type { RecordedTrace } from '../../worker/file/csv/trace-file.ts';
import type { SourceInfo } from '../../worker/file/records.ts';
import type { Clock } from '../platform/ports.ts';
import { type EndReason, type SampleSink, type SampleSource, SourceProblem } from './port.ts';

/** Interval between blocks, as from a radio. */
const TICK_MS = 50;
/** Samples in a block at infinite speed. In between, the page can draw. */
const PORTION = 2000;
/** A recording that starts within this many seconds of 0 keeps its exact times. */
const NEAR_0_S = 1;

export interface ReplayOptions {
  readonly recording: RecordedTrace;
  /** Multiple of real time: 1 to 20, or `Infinity` for at once. */
  readonly speed: number;
  readonly clock: Clock;
}

/** Plays a recorded trace as if it were measured now, with its gaps in place. */
export function createReplaySource({ recording, speed, clock }: ReplayOptions): SampleSource {
  const { header, fileName } = recording;
  const info: SourceInfo = {
    kind: 'replay',
    name: fileName,
    layout: 'recorded trace',
    ...(header.sensorMaxKpa !== undefined && { sensorMaxKpa: header.sensorMaxKpa }),
    ...(header.sensorAccuracy && { accuracy: header.sensorAccuracy }),
  };
  return {
    kind: 'replay',
    async open(sink, signal) {
      if (signal.aborted) throw new SourceProblem('cancelled', 'Stopped before it began.');
      play(fromNear0(recording.trace), speed, clock, sink, signal);
      return info;
    },
  };
}

function play(trace: Trace, speed: number, clock: Clock, sink: SampleSink, signal: AbortSignal): void {
  const { timeS, pressureKpa, gaps } = trace;
  const startedMs = clock.nowMs();
  const firstS = timeS[0] ?? 0;
  let next = 0;
  let nextGap = 0;

  const end = (reason: EndReason): void => {
    cancel();
    signal.removeEventListener('abort', stop);
    sink.ended(reason);
  };
  const stop = (): void => end({ kind: 'stopped' });

  /** Sends samples before index `until`, and every gap that lies between two of them, in the order of time. */
  const send = (until: number): void => {
    while (next < until && !signal.aborted) {
      const startS = timeS[next - 1];
      const endS = timeS[next];
      if (endS === undefined) return;
      // A gap is reported when the first sample after it is due. Its ends are sample times, not those in the recording.
      const known = firstGapAfter(gaps, endS, nextGap);
      const passed = gaps[known - 1];
      if (known > nextGap && passed && startS !== undefined) {
        sink.gap({ startS, endS, reason: passed.reason });
      }
      nextGap = known;
      const gap = gaps[nextGap];
      const stopAt = gap ? firstNotBefore(timeS, gap.endS, next, until) : until;
      if (signal.aborted) return;
      sink.block(
        { timeS: timeS.slice(next, stopAt), pressureKpa: pressureKpa.slice(next, stopAt) },
        clock.nowMs(),
      );
      next = stopAt;
    }
  };

  const tick = (): void => {
    const dueS = firstS + ((clock.nowMs() - startedMs) / 1000) * speed;
    send(
      speed === Number.POSITIVE_INFINITY
        ? Math.min(next + PORTION, timeS.length)
        : firstNotBefore(timeS, dueS, next, timeS.length),
    );
    // The sink may have stopped the replay during the call.
    if (signal.aborted) return;
    if (next === timeS.length) {
      end({ kind: 'finished' });
    } else {
      cancel = clock.after(speed === Number.POSITIVE_INFINITY ? 0 : TICK_MS, tick);
    }
  };

  // Delayed until `open` has resolved.
  let cancel = clock.after(0, () => {
    sink.status({ state: 'streaming', samplesPerS: usualRate(timeS) });
    if (!signal.aborted) tick();
  });
  signal.addEventListener('abort', stop);
}

/** Index of the first gap, from `from` on, that ends after `timeS`. */
function firstGapAfter(gaps: readonly Gap[], timeS: number, from: number): number {
  let index = from;
  let gap = gaps[index];
  while (gap && gap.endS <= timeS) gap = gaps[++index];
  return index;
}

/** Index of the first sample at or after `atS`, searched from `from` on; `to` when there is none. */
function firstNotBefore(timeS: Float64Array, atS: number, from: number, to: number): number {
  let low = from;
  let high = to;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((timeS[middle] ?? Number.POSITIVE_INFINITY) < atS) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Median rate of the first 1000 steps, samples a second; 0 for fewer than two samples. */
function usualRate(timeS: Float64Array): number {
  const steps = timeS.slice(1, 1001).map((time, i) => time - (timeS[i] ?? Number.NaN));
  const usualS = steps.sort()[steps.length >> 1];
  return usualS === undefined ? 0 : 1 / usualS;
}

/** Shifts a trace to start at 0, unless it already starts near it. */
function fromNear0(trace: Trace): Trace {
  const firstS = trace.timeS[0] ?? 0;
  if (Math.abs(firstS) <= NEAR_0_S) return trace;
  return {
    timeS: trace.timeS.map((time) => time - firstS),
    pressureKpa: trace.pressureKpa,
    gaps: trace.gaps.map((gap) => ({ ...gap, startS: gap.startS - firstS, endS: gap.endS - firstS })),
  };
}
