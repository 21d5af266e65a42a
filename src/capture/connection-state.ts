import type { GapReason } from '../../worker/core/trace.ts';
import type { SourceInfo, SourceKind } from '../../worker/file/records.ts';
import type { StreamCounts } from '../../worker/wire/stream-decoder.ts';
import type { SourceProblem } from '../sources/port.ts';

/**
 * State of the connection to the sample source. `kind` identifies the source, so a simulator is never mistaken for a
 * sensor.
 */
export type Connection =
  /** Not connected and not connecting. `finished`: a recording was played to its end. */
  | { readonly state: 'none'; readonly finished?: boolean }
  /** The browser's device chooser is open (Bluetooth and cable). */
  | { readonly state: 'choosing'; readonly kind: SourceKind }
  | { readonly state: 'connecting'; readonly kind: SourceKind }
  | {
      readonly state: 'streaming';
      readonly kind: SourceKind;
      readonly info: SourceInfo;
      readonly samplesPerS: number;
      readonly batteryPercent?: number | undefined;
      /** Lost, refused, duplicate and reordered samples, for the log. */
      readonly counts?: StreamCounts | undefined;
    }
  /** Connected, but no samples for `forS` seconds. */
  | {
      readonly state: 'silent';
      readonly kind: SourceKind;
      readonly info: SourceInfo;
      readonly forS: number;
      /** Camera only: why the newest frames have no clear reading. */
      readonly reason?: GapReason | undefined;
    }
  /** The link was lost and the source is reconnecting. An open take stays open. */
  | {
      readonly state: 'reconnecting';
      readonly kind: SourceKind;
      readonly info: SourceInfo;
      readonly attempt: number;
    }
  /** Connecting or reconnecting failed. Captured samples are stored. `src/copy` has the text for `problem`. */
  | { readonly state: 'lost'; readonly kind: SourceKind; readonly problem: SourceProblem };
