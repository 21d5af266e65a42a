import { runInWorker } from '../platform/one-shot-worker.ts';
import type { OnProgress } from './hand-over.ts';
import type { ShareOutcome, ShareRequest } from './share-work.ts';

type Progress = Parameters<OnProgress>[0];

/** Runs one request in a worker. Rejects when it fails; what was merged before is kept. */
export function startShare(
  request: ShareRequest,
  onProgress: OnProgress,
  signal?: AbortSignal,
): Promise<ShareOutcome> {
  return runInWorker<ShareRequest, ShareOutcome, Progress>({
    spawn: () => new Worker(new URL('./share.worker.ts', import.meta.url), { type: 'module' }),
    request,
    onProgress,
    signal,
    inPage: async () => (await import('./share-work.ts')).runShare(request, onProgress),
  });
}
