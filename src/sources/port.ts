/**
 * Sources of samples: Bluetooth, a cable, the simulator, a recording. All follow the same contract.
 *
 * Contract: `open` resolves once samples can flow, and rejects only with a `SourceProblem`. After that the sink receives
 * blocks and gaps in the order of time. Times are seconds, ascending on one clock that starts near 0 at `open` and
 * continues through a reconnect. `ended` is called exactly once, last, also after `signal` aborts. The source never waits
 * for the sink: sink methods return at once. Blocks belong to the sink (new arrays, never reused).
 */
import type { Gap, GapReason, SampleBlock } from '../../worker/core/trace.ts';
import type { SourceInfo, SourceKind } from '../../worker/file/records.ts';
import type { StreamCounts } from '../../worker/wire/stream-decoder.ts';

/** State of an open source. */
export type SourceStatus =
  /**
   * The user has chosen a device and the source is connecting. Only before `open` resolves, and only for sources with a
   * chooser.
   */
  | { readonly state: 'connecting' }
  /** Samples arrive. `samplesPerS`: measured rate. */
  | {
      readonly state: 'streaming';
      readonly samplesPerS: number;
      readonly batteryPercent?: number | undefined;
      /** Refused, lost, duplicate and reordered samples since `open`, for the log. */
      readonly counts?: StreamCounts | undefined;
    }
  /** Connected, but no samples for `forS` seconds. */
  | {
      readonly state: 'silent';
      readonly forS: number;
      /** Camera only: why the newest frames have no clear reading. */
      readonly reason?: GapReason | undefined;
    }
  /** The link was lost and the source is reconnecting. `attempt` counts from 1. */
  | { readonly state: 'reconnecting'; readonly attempt: number };

/** Reason why a source ended. */
export type EndReason =
  /** `signal` was aborted. */
  | { readonly kind: 'stopped' }
  /** A recording was played to its end. */
  | { readonly kind: 'finished' }
  /** The source failed and cannot continue. */
  | { readonly kind: 'lost'; readonly problem: SourceProblem };

/** Grouped by what the user should do. `src/copy` has the texts. */
export type SourceProblemCode =
  /** The user closed the chooser or stopped connecting. Not shown. */
  | 'cancelled'
  /** The browser has no Web Bluetooth. Use another browser. */
  | 'no-bluetooth'
  /** The adapter is switched off or missing. Switch Bluetooth on. */
  | 'bluetooth-off'
  /** The browser or its policy denies Bluetooth. Allow it in the site settings. */
  | 'not-allowed'
  /** The sensor was not found. Switch it on and move closer. */
  | 'out-of-range'
  /** The sensor refused the connection or an operation. It may be connected to another device: disconnect it there. */
  | 'refused'
  /** An operation did not complete in time. Switch the sensor off and on. */
  | 'timed-out'
  /** The device has no characteristic that could send pressures. Choose another one, or name its service. */
  | 'no-pressure-service'
  /** The device sends notifications in an unknown format. Describe it by a layout file. */
  | 'unknown-layout'
  /** The link was lost and reconnecting failed. Move closer and connect again. */
  | 'link-lost'
  /** The browser has no Web Serial. Use another browser. */
  | 'no-serial'
  /** The browser or its policy denies the port. Allow it in the site settings. */
  | 'cable-not-allowed'
  /** Another program has the port open, or the system denies it. Close the program. */
  | 'port-busy'
  /** The cable was pulled, or the device is not there. Plug it in. */
  | 'unplugged'
  /** Nothing arrived at any rate. Check the wiring and the firmware. */
  | 'cable-silent'
  /** Octets arrived, and at no rate were they lines with a number or frames. Send as `worker/wire/README.md` says. */
  | 'cable-unreadable'
  /** Lines with bare numbers arrived. State their unit on the Sensor page. */
  | 'cable-no-unit'
  /** Lines with volts arrived. State the range of the sensor on the Sensor page. */
  | 'cable-no-range'
  /** The browser has no camera for this page: open it over HTTPS, or in another browser. */
  | 'no-camera'
  /** The person, the browser or its policy denies the camera. Allow it in the site settings. */
  | 'camera-refused'
  /** The camera cannot be opened: another app has it, or there is none. */
  | 'camera-busy'
  /** The camera was taken away and did not come back. Close the other app and start again. */
  | 'camera-lost'
  /** The browser cannot play the chosen file. */
  | 'film-unreadable'
  /** Any other error; the original one is `cause`. Switch the sensor off and on. */
  | 'unexpected';

/** The only error that a source rejects or ends with. `message` is for the log, not for the screen. */
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

/** Receiver of a source's events. */
export interface SampleSink {
  /** `arrivedMs`: time at which the newest of these samples was received, monotonic host clock, milliseconds. */
  block(block: SampleBlock, arrivedMs: number): void;
  gap(gap: Gap): void;
  status(status: SourceStatus): void;
  ended(reason: EndReason): void;
}

/** A source of samples. May be opened again after it has ended. */
export interface SampleSource {
  readonly kind: SourceKind;
  /** Resolves with the facts known about the source. See the contract above. */
  open(sink: SampleSink, signal: AbortSignal): Promise<SourceInfo>;
}
