import { runInWorker } from '../platform/one-shot-worker.ts';
import type { StoreBranch } from '../store/port.ts';
import type { ExampleId } from './example-ids.ts';
import type { ExampleWords } from './garage.ts';

export interface ExampleRequest {
  readonly id: ExampleId;
  readonly now: string;
  readonly words: ExampleWords;
}

export type ExampleMaker = (request: ExampleRequest) => Promise<StoreBranch>;

/** Makes one example in a worker. Rejects where the browser does not run it. */
export const makeInWorker: ExampleMaker = (request) =>
  runInWorker<ExampleRequest, StoreBranch>({
    spawn: () => new Worker(new URL('./examples.worker.ts', import.meta.url), { type: 'module' }),
    request,
  });
