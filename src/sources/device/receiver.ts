import {
  createStreamDecoder,
  type SensorRange,
  type StreamCounts,
  type StreamDecoder,
  type StreamLayout,
} from '../../../worker/wire/stream-decoder.ts';
import type { TimelineEvent } from '../../../worker/wire/timeline.ts';
import { type SampleSink, SourceProblem } from '../port.ts';
import type { Watch } from './watch.ts';

/** Decodes notifications with one decoder through any number of links and passes samples and gaps to the sink. */
export interface Receiver {
  /** Sets the layout at the first link. Throws `unknown-layout` when a later link has another one. */
  setLayout(layout: StreamLayout, range: SensorRange | undefined): void;
  /** Decodes at once, or as soon as the layout is known. */
  onNotification(bytes: DataView): void;
  /** Discards notifications that wait for a layout. */
  discardPending(): void;
  /** Releases samples that waited for a missing packet long enough. Host clock, milliseconds. */
  tick(nowMs: number): void;
  linkLost(nowMs: number): void;
  counts(): StreamCounts | undefined;
  /** Why the newest unreadable notification was refused; `undefined` when none was. */
  lastProblem(): string | undefined;
  /** Nothing is passed on afterwards. */
  end(): void;
}

/** `nowMs`: host clock; sample times count from its value at creation. */
export function createReceiver(sink: SampleSink, watch: Watch, nowMs: () => number): Receiver {
  const startMs = nowMs();
  const secondsAt = (ms: number): number => (ms - startMs) / 1000;
  let decoder: StreamDecoder | undefined;
  let name = '';
  let pending: { readonly bytes: DataView; readonly arrivedMs: number }[] = [];
  let ended = false;

  function emit(events: readonly TimelineEvent[], arrivedMs: number): void {
    for (const event of events) {
      // The sink may stop the session during a call.
      if (ended) return;
      if (event.kind === 'gap') {
        sink.gap(event.gap);
      } else {
        watch.samples(event.block.timeS.length, arrivedMs);
        sink.block(event.block, arrivedMs);
      }
    }
  }

  function decodePending(): void {
    if (decoder === undefined) return;
    const waiting = pending;
    pending = [];
    for (const { bytes, arrivedMs } of waiting) emit(decoder.push(bytes, secondsAt(arrivedMs)), arrivedMs);
  }

  return {
    setLayout(layout, range) {
      const next = JSON.stringify(layout);
      if (decoder === undefined) {
        name = next;
        decoder = createStreamDecoder(layout, range);
      } else if (next !== name) {
        throw new SourceProblem('unknown-layout', 'The sensor came back with another layout.');
      }
    },
    onNotification(bytes) {
      const arrivedMs = nowMs();
      watch.notification(arrivedMs);
      pending.push({ bytes, arrivedMs });
      decodePending();
    },
    discardPending() {
      pending = [];
    },
    tick(atMs) {
      decodePending();
      if (decoder !== undefined) emit(decoder.tick(secondsAt(atMs)), atMs);
    },
    linkLost(atMs) {
      decodePending();
      if (decoder !== undefined) emit(decoder.linkLost(), atMs);
    },
    counts: () => decoder?.counts(),
    lastProblem: () => decoder?.lastProblem()?.detail,
    end() {
      ended = true;
    },
  };
}
