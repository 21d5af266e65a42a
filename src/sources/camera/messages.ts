/** Messages between the page and the worker that reads the dial. Types only. */
import type { DialReading } from '../../../worker/dial/read-dial.ts';
import type { DialMarks } from '../../../worker/dial/set-up.ts';
import type { FitOutcome } from './dial-session.ts';
import type { KnownMarks } from './known-dial.ts';

export type ToDialWorker =
  /** Frames of the camera, until the stream ends. */
  | { readonly do: 'frames'; readonly frames: ReadableStream<VideoFrame> }
  /** One frame, answered by `frame`. `timeS`: time at which it was taken, seconds. */
  | { readonly do: 'frame'; readonly frame: VideoFrame | ImageData; readonly timeS: number }
  /** Keep the next frame and send it. */
  | { readonly do: 'freeze' }
  /** Fit the scale to the kept frame. */
  | { readonly do: 'fit'; readonly marks: DialMarks | KnownMarks };

export type FromDialWorker =
  /** One frame was worked on. `reading`: `null` before a scale was fitted. */
  | { readonly kind: 'frame'; readonly reading: DialReading | null }
  | { readonly kind: 'still'; readonly bitmap: ImageBitmap }
  | { readonly kind: 'fitted'; readonly outcome: FitOutcome };
