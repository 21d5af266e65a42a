import type { StoreBranch } from '../store/port.ts';
import type { ExampleId } from './example-ids.ts';
import type { ExampleWords } from './garage.ts';

export interface ExampleRequest {
  readonly id: ExampleId;
  readonly now: string;
  readonly words: ExampleWords;
}

export type ExampleMaker = (request: ExampleRequest) => Promise<StoreBranch>;

/** A worker for each example, gone when it is made. Rejects when the browser will not run it. */
export function createExampleMaker(spawn: () => Worker): ExampleMaker {
  return async (request) => {
    const worker = spawn();
    try {
      return await new Promise<StoreBranch>((resolve, reject) => {
        worker.addEventListener('message', ({ data }: MessageEvent<StoreBranch>) => resolve(data));
        worker.addEventListener('error', () => reject(new Error('The examples could not be cranked.')));
        worker.postMessage(request);
      });
    } finally {
      worker.terminate();
    }
  };
}
