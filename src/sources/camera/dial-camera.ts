import type { DialReading } from '../../../worker/dial/read-dial.ts';
import type { DialMarks } from '../../../worker/dial/set-up.ts';
import type { FitOutcome } from './dial-session.ts';
import type { KnownMarks } from './known-dial.ts';

/** `SourceInfo.name` of every camera: the browser's own label names the device. A film has the name of its file. */
export const CAMERA_NAME = 'Camera';

/** Receiver of the readings of a camera. */
export interface DialListener {
  /** A frame was read. */
  reading(reading: DialReading): void;
  /** No more frames will come: the camera was taken away, or the film has ended. */
  ended(): void;
}

/**
 * A camera, or a film, with the worker that reads the dial on its pictures. Nothing of the pictures is stored. `live.ts`
 * implements it.
 */
export interface DialCamera {
  readonly from: 'camera' | 'film';
  /** Name of the film's file; `CAMERA_NAME` of a camera. */
  readonly name: string;
  /** Keeps the next frame and returns it for drawing. Rejects with a `SourceProblem` when no frame comes. */
  freeze(): Promise<ImageBitmap>;
  /** Fits the scale to the frozen frame. After a good fit each frame is read. Rejects with a `SourceProblem`. */
  fit(marks: DialMarks | KnownMarks): Promise<FitOutcome>;
  /** Sends readings to `listener` instead of to the one before. The returned function stops that. */
  listen(listener: DialListener): () => void;
  /** Plays a film from its start; a camera runs already. */
  play(): void;
  /** Opens the camera again after it was taken away. Rejects with a `SourceProblem`. */
  reopen(): Promise<void>;
  /** Releases the camera. */
  close(): void;
}
