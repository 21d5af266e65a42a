import type { DialMarks } from '../../../worker/dial/set-up.ts';
import { SourceProblem } from '../port.ts';
import { type CameraControls, controlsOf } from './controls.ts';
import { CAMERA_NAME, type DialCamera, type DialListener } from './dial-camera.ts';
import type { FitOutcome } from './dial-session.ts';
import { type Frames, sendFrames } from './frames.ts';
import type { KnownMarks } from './known-dial.ts';
import type { FromDialWorker, ToDialWorker } from './messages.ts';

/** A running camera or an opened film, for the screen of the set-up. */
export interface LiveCamera extends DialCamera {
  /** Shows the live picture. The screen adds it to the page. */
  readonly video: HTMLVideoElement;
  /** `null` for a film. */
  controls(): CameraControls | null;
}

/** Small pictures are read fast, and the dial fills them; 60 frames a second count strokes better than 30. */
const WANTED: MediaTrackConstraints = {
  facingMode: { ideal: 'environment' },
  width: { ideal: 640 },
  height: { ideal: 480 },
  frameRate: { ideal: 60 },
};
/** A film is played at half speed: at full speed browsers drop frames. */
const FILM_RATE = 0.5;
/** Longest wait for a frame. */
const FRAME_MS = 5000;

/** Opens the camera of the back. Rejects with a `SourceProblem`. */
export async function openCamera(): Promise<LiveCamera> {
  const first = await openTrack();
  return create({ from: 'camera', name: CAMERA_NAME, track: first });
}

/** Opens a film that was made before. Rejects with a `SourceProblem`. */
export async function openFilm(file: File): Promise<LiveCamera> {
  const address = URL.createObjectURL(file);
  const camera = create({ from: 'film', name: file.name, address });
  const { video } = camera;
  const isReady = await new Promise<boolean>((resolve) => {
    video.addEventListener('loadeddata', () => resolve(true), { once: true });
    video.addEventListener('error', () => resolve(false), { once: true });
  });
  if (isReady) return camera;
  camera.close();
  throw new SourceProblem('film-unreadable', `The browser cannot play ${file.type || 'this file'}.`);
}

async function openTrack(): Promise<MediaStreamTrack> {
  // Missing on pages without HTTPS.
  if (!navigator.mediaDevices?.getUserMedia)
    throw new SourceProblem('no-camera', 'There is no getUserMedia.');
  try {
    const stream = await navigator.mediaDevices.getUserMedia({ audio: false, video: WANTED });
    const [track] = stream.getVideoTracks();
    if (track) return track;
  } catch (cause) {
    const name = cause instanceof DOMException ? cause.name : '';
    const isRefused = name === 'NotAllowedError' || name === 'SecurityError';
    throw new SourceProblem(isRefused ? 'camera-refused' : 'camera-busy', `getUserMedia: ${String(cause)}`, {
      cause,
    });
  }
  throw new SourceProblem('camera-busy', 'The camera has no picture.');
}

type Opened =
  | { readonly from: 'camera'; readonly name: string; readonly track: MediaStreamTrack }
  | { readonly from: 'film'; readonly name: string; readonly address: string };

function create(opened: Opened): LiveCamera {
  const video = Object.assign(document.createElement('video'), {
    muted: true,
    playsInline: true,
    preload: 'auto',
  });
  const worker = new Worker(new URL('./dial.worker.ts', import.meta.url), { type: 'module' });
  const post = (message: ToDialWorker, transfer: Transferable[] = []): void =>
    worker.postMessage(message, transfer);
  let listener: DialListener | null = null;
  let track = opened.from === 'camera' ? opened.track : null;
  let frames: Frames | null = null;
  let isClosed = false;
  let onStill: ((bitmap: ImageBitmap) => void) | null = null;
  let onFitted: ((outcome: FitOutcome) => void) | null = null;
  let onFailed: ((problem: SourceProblem) => void) | null = null;

  worker.addEventListener('message', ({ data }: MessageEvent<FromDialWorker>) => {
    if (data.kind === 'still') onStill?.(data.bitmap);
    else if (data.kind === 'fitted') onFitted?.(data.outcome);
    else {
      frames?.done();
      if (data.reading) listener?.reading(data.reading);
    }
  });
  const ended = (): void => {
    if (!isClosed) listener?.ended();
  };
  // A worker that fails reads no more, as a camera that was taken away.
  worker.addEventListener('error', ({ message }) => {
    onFailed?.(new SourceProblem('unexpected', `The worker of the camera: ${message}`));
    ended();
  });

  function show(): void {
    if (track) {
      video.srcObject = new MediaStream([track]);
      track.addEventListener('ended', ended, { once: true });
      void video.play().catch(() => undefined);
    }
    frames?.stop();
    frames = sendFrames(video, track, post);
  }
  if (opened.from === 'film') {
    video.addEventListener('ended', () => setTimeout(ended, 300));
    video.src = opened.address;
  }
  // Browsers pause a video that leaves the page, and its frames with it.
  video.addEventListener('pause', () => {
    if (!isClosed && !video.ended) void video.play().catch(() => undefined);
  });
  show();

  return {
    from: opened.from,
    name: opened.name,
    video,
    controls: () => (track ? controlsOf(track) : null),
    freeze: () =>
      new Promise((resolve, reject) => {
        const timer = setTimeout(() => {
          onStill = null;
          reject(new SourceProblem('camera-busy', 'No frame came.'));
        }, FRAME_MS);
        onStill = (bitmap) => {
          clearTimeout(timer);
          onStill = null;
          resolve(bitmap);
        };
        post({ do: 'freeze' });
        if (opened.from === 'film') frames?.grab();
      }),
    fit: (marks: DialMarks | KnownMarks) =>
      new Promise((resolve, reject) => {
        onFitted = resolve;
        onFailed = reject;
        post({ do: 'fit', marks });
      }),
    listen(next) {
      listener = next;
      return () => {
        if (listener === next) listener = null;
      };
    },
    play() {
      if (opened.from !== 'film') return;
      video.currentTime = 0;
      video.playbackRate = FILM_RATE;
      void video.play().catch(ended);
    },
    async reopen() {
      if (isClosed || opened.from === 'film') return;
      const next = await openTrack();
      if (isClosed) next.stop();
      else {
        track = next;
        show();
      }
    },
    close() {
      isClosed = true;
      frames?.stop();
      track?.stop();
      worker.terminate();
      video.pause();
      video.removeAttribute('src');
      video.srcObject = null;
      if (opened.from === 'film') URL.revokeObjectURL(opened.address);
    },
  };
}
