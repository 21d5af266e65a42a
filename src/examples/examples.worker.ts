/** Cranks an example engine beside the page. See `example-maker.ts`. */
import { answerRequest } from '../platform/one-shot-worker.ts';
import type { StoreBranch } from '../store/port.ts';
import type { ExampleRequest } from './example-maker.ts';
import { makeExample } from './make-example.ts';

answerRequest<ExampleRequest, StoreBranch>(({ id, now, words }) => makeExample(id, now, words));
