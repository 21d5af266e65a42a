import type { Log } from '../../platform/ports.ts';
import { StoreProblem, type TestStore } from '../../store/port.ts';
import { asStoreProblem } from './refusal.ts';
import type { TransferMessage, TransferOutcome, TransferProgress, TransferRequest } from './transfer.ts';

/**
 * Writes or reads a file in a worker of its own, which is gone when it is done or no longer wanted; in the page where the
 * browser will not run one. Rejects with a `StoreProblem`; resolves with `null` when `signal` ended it.
 */
export async function startTransfer(
  { store, log }: { readonly store: TestStore; readonly log: Pick<Log, 'add'> },
  request: TransferRequest,
  tell: (progress: TransferProgress) => void,
  signal: AbortSignal,
): Promise<TransferOutcome | null> {
  const worker = new Worker(new URL('./transfer.worker.ts', import.meta.url), { type: 'module' });
  try {
    return await new Promise<TransferOutcome | null>((resolve, reject) => {
      signal.addEventListener('abort', () => resolve(null));
      if (signal.aborted) resolve(null);
      worker.addEventListener('message', ({ data }: MessageEvent<TransferMessage>) => {
        if (data.told === 'progress') tell(data.progress);
        else if (data.told === 'done') resolve(data.outcome);
        else reject(asStoreProblem(data));
      });
      worker.addEventListener('error', () => reject(new Error('The worker would not run.')));
      worker.postMessage(request);
    });
  } catch (cause) {
    if (cause instanceof StoreProblem) throw cause;
    log.add('transfer worker', cause);
    const { runTransfer } = await import('./transfer.ts');
    return await runTransfer(store, request, tell, signal).catch((why: unknown) => {
      if (signal.aborted) return null;
      throw why;
    });
  } finally {
    worker.terminate();
  }
}
