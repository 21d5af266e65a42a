/** Cranks an example engine beside the page. One question, one answer: see `example-maker.ts`. */
import type { ExampleRequest } from './example-maker.ts';
import { makeExample } from './make-example.ts';

addEventListener('message', ({ data }: MessageEvent<ExampleRequest>) => {
  postMessage(makeExample(data.id, data.now, data.words));
});
