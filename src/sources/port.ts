/**
 * Where samples come from. Bluetooth, the simulator, a recording: the listener cannot tell them apart.
 *
 * Contract: `open` resolves once samples can flow, and rejects only with a `SourceProblem`. After that the sink
 * hears blocks and gaps in the order of time, times ascending on one clock that starts near 0 at `open` and goes
 * on through a reconnect; `ended` comes exactly once, last, also after `signal` aborts. The source never waits for
 * the sink: sink methods return at once. Blocks belong to the sink (fresh arrays, never reused).
 */
import type { Gap, SampleBlock } from '../../worker/core/trace.ts';
import type { SourceInfo, SourceKind } from '../../worker/file/records.ts';
import type { StreamCounts } from '../../worker/wire/stream-decoder.ts';

export type { SourceInfo, SourceKind } from '../../worker/file/records.ts';

export type SourceStatus =
  /** The person has chosen and the link is being made. Only before `open` resolves, and only where there is a choice. */
  | { readonly state: 'connecting' }
  | {
      readonly state: 'streaming';
      readonly samplesPerS: number;
      readonly batteryPercent?: number | undefined;
      /** What was refused, lost, doubled or reordered since `open`, for the log. */
      readonly counts?: StreamCounts | undefined;
    }
  /** Connected, but nothing has arrived for `forS` seconds. */
  | { readonly state: 'silent'; readonly forS: number }
  /** The link is gone and the source is trying to get it back. */
  | { readonly state: 'reconnecting'; readonly attempt: number };

export type EndReason =
  | { readonly kind: 'stopped' }
  | { readonly kind: 'finished' }
  | { readonly kind: 'lost'; readonly problem: SourceProblem };

/** Grouped by what the person should do; `src/copy` has the words. `cancelled` needs none. */
export type SourceProblemCode =
  | 'cancelled'
  | 'no-bluetooth'
  | 'bluetooth-off'
  | 'not-allowed'
  | 'out-of-range'
  | 'refused'
  | 'timed-out'
  | 'no-pressure-service'
  | 'unknown-layout'
  | 'link-lost'
  | 'unexpected';

export class SourceProblem extends Error {
  override readonly name = 'SourceProblem';
  constructor(
    readonly code: SourceProblemCode,
    message: string,
    options?: { cause?: unknown },
  ) {
    super(message, options);
  }
}

export interface SampleSink {
  /** `arrivedMs`: monotonic host clock at which the newest of these samples was received. */
  block(block: SampleBlock, arrivedMs: number): void;
  gap(gap: Gap): void;
  status(status: SourceStatus): void;
  ended(reason: EndReason): void;
}

export interface SampleSource {
  readonly kind: SourceKind;
  open(sink: SampleSink, signal: AbortSignal): Promise<SourceInfo>;
}
