/** Worker that reads the dial. Started by `dial-camera.ts`. Pictures never leave it, but for the one that was asked for. */
import type { Picture } from '../../../worker/dial/picture.ts';
import { createDialSession } from './dial-session.ts';
import type { FromDialWorker, ToDialWorker } from './messages.ts';
import { createToPicture } from './picture-of-frame.ts';

const session = createDialSession();
const toPicture = createToPicture();
let isStillWanted = false;

const post = (message: FromDialWorker, transfer: Transferable[] = []): void =>
  postMessage(message, { transfer });

const copyOf = ({ width, height, luma, cr }: Picture): Picture => ({
  width,
  height,
  luma: luma.slice(),
  cr: cr?.slice() ?? null,
});

async function take(frame: VideoFrame | ImageData, timeS: number): Promise<void> {
  try {
    const picture = await toPicture(frame);
    if (isStillWanted) {
      isStillWanted = false;
      session.keep(copyOf(picture));
      const bitmap = await createImageBitmap(frame);
      post({ kind: 'still', bitmap }, [bitmap]);
    }
    post({ kind: 'frame', reading: session.read(picture, timeS) });
  } finally {
    if ('close' in frame) frame.close();
  }
}

async function takeAll(frames: ReadableStream<VideoFrame>): Promise<void> {
  const reader = frames.getReader();
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    await take(value, value.timestamp / 1e6);
  }
}

addEventListener('message', ({ data }: MessageEvent<ToDialWorker>) => {
  switch (data.do) {
    case 'frames':
      void takeAll(data.frames);
      break;
    case 'frame':
      void take(data.frame, data.timeS);
      break;
    case 'freeze':
      isStillWanted = true;
      break;
    case 'fit':
      post({ kind: 'fitted', outcome: session.fit(data.marks) });
  }
});
