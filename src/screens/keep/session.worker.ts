/** Reads a session file beside the page. One file, one answer: see `session-files.ts`. */
import { readSession } from './read-session.ts';

addEventListener('message', async ({ data }: MessageEvent<File>) => {
  postMessage(await readSession(data));
});
