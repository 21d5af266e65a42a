/** Frames of a video on their way to the worker. */
import type { ToDialWorker } from './messages.ts';

interface TrackProcessor {
  readonly readable: ReadableStream<VideoFrame>;
}

/** Of the W3C draft "MediaStreamTrack Insertable Media Processing using Streams"; missing in TypeScript's library. */
type TrackProcessorClass = new (init: {
  readonly track: MediaStreamTrack;
  readonly maxBufferSize?: number;
}) => TrackProcessor;

/** Frames that wait for the worker; when it is slow, later ones are dropped. */
const MOST_WAITING = 2;

/** Sends frames to the worker. */
export interface Frames {
  /** Sends the frame that is shown, of a paused video too. */
  grab(): void;
  /** The worker has worked on one. */
  done(): void;
  stop(): void;
}

type Post = (message: ToDialWorker, transfer: Transferable[]) => void;

/**
 * Sends the frames of a camera's track without the page where the browser can; else, and of a film (`track` is `null`),
 * those that `video` presents.
 */
export function sendFrames(video: HTMLVideoElement, track: MediaStreamTrack | null, post: Post): Frames {
  const { MediaStreamTrackProcessor: Processor } = globalThis as {
    MediaStreamTrackProcessor?: TrackProcessorClass;
  };
  if (track === null || Processor === undefined) return sendPresented(video, track === null, post);
  const { readable } = new Processor({ track, maxBufferSize: MOST_WAITING });
  post({ do: 'frames', frames: readable }, [readable]);
  // The stream ends with its track.
  return { grab() {}, done() {}, stop() {} };
}

function sendPresented(video: HTMLVideoElement, isFilm: boolean, post: Post): Frames {
  let waiting = 0;
  let handle = 0;
  let shownS = -1;
  let isOver = false;
  const hasCallback = 'requestVideoFrameCallback' in video;

  function send(timeS: number): void {
    if (isOver || waiting >= MOST_WAITING || video.videoWidth === 0) return;
    const frame = frameOf(video);
    waiting++;
    post({ do: 'frame', frame, timeS }, 'close' in frame ? [frame] : [frame.data.buffer]);
  }

  const onFrame: VideoFrameRequestCallback = (nowMs, { mediaTime, captureTime }) => {
    if (isOver) return;
    handle = video.requestVideoFrameCallback(onFrame);
    send(isFilm ? mediaTime : (captureTime ?? nowMs) / 1000);
  };
  /** For browsers without the callback: a new time is a new frame. */
  const onPaint = (nowMs: number): void => {
    if (isOver) return;
    handle = requestAnimationFrame(onPaint);
    if (video.currentTime === shownS) return;
    shownS = video.currentTime;
    send(isFilm ? shownS : nowMs / 1000);
  };
  handle = hasCallback ? video.requestVideoFrameCallback(onFrame) : requestAnimationFrame(onPaint);

  return {
    grab: () => send(isFilm ? video.currentTime : performance.now() / 1000),
    done() {
      waiting = Math.max(0, waiting - 1);
    },
    stop() {
      isOver = true;
      if (hasCallback) video.cancelVideoFrameCallback(handle);
      else cancelAnimationFrame(handle);
    },
  };
}

/** The frame that is shown, as the browser can take it. */
function frameOf(video: HTMLVideoElement): VideoFrame | ImageData {
  if ('VideoFrame' in globalThis) {
    try {
      return new VideoFrame(video, { timestamp: 0 });
    } catch {
      // Some browsers take no frame from every video; the canvas does.
    }
  }
  const { videoWidth: width, videoHeight: height } = video;
  const canvas = Object.assign(document.createElement('canvas'), { width, height });
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (context === null) throw new Error('There is no canvas to take a frame with.');
  context.drawImage(video, 0, 0);
  return context.getImageData(0, 0, width, height);
}
