/** Worker that makes an example engine. Started by `example-maker.ts`. */
import { answerRequest } from '../platform/one-shot-worker.ts';
import { type ExampleRequest, makeExample } from './make-example.ts';

answerRequest(({ id, now, words }: ExampleRequest) => makeExample(id, now, words));
