import { runInWorker } from '../platform/one-shot-worker.ts';
import type { StoreBranch } from '../store/port.ts';
import type { ExampleRequest } from './make-example.ts';

/** Makes the records and traces of one example. */
export type ExampleMaker = (request: ExampleRequest) => Promise<StoreBranch>;

/** Makes one example in a worker. Rejects when the browser does not run the worker or the work fails. */
export const makeInWorker: ExampleMaker = (request) =>
  runInWorker<ExampleRequest, StoreBranch>({
    spawn: () => new Worker(new URL('./examples.worker.ts', import.meta.url), { type: 'module' }),
    request,
  });
