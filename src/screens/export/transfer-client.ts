import { runInWorker, type WorkerFailure } from '../../platform/one-shot-worker.ts';
import type { Log } from '../../platform/ports.ts';
import { StoreProblem, type StoreProblemCode, type TestStore } from '../../store/port.ts';
import type { TransferOutcome, TransferProgress, TransferRequest } from './transfer-work.ts';

/**
 * Exports or imports a file in a worker, or in the page when the browser cannot run one. Returns `null` when `signal`
 * was aborted. Rejects with a `StoreProblem`.
 */
export async function startTransfer(
  { store, log }: { readonly store: TestStore; readonly log: Pick<Log, 'add'> },
  request: TransferRequest,
  onProgress: (progress: TransferProgress) => void,
  signal: AbortSignal,
): Promise<TransferOutcome | null> {
  try {
    return await runInWorker<TransferRequest, TransferOutcome, TransferProgress>({
      spawn: () => new Worker(new URL('./transfer.worker.ts', import.meta.url), { type: 'module' }),
      request,
      onProgress,
      signal,
      toError,
      inPage: async (cause) => {
        log.add('transfer worker', cause);
        const { runTransfer } = await import('./transfer-work.ts');
        return runTransfer(store, request, onProgress, signal);
      },
    });
  } catch (cause) {
    if (signal.aborted) return null;
    throw cause;
  }
}

/** An error other than a `StoreProblem` becomes `unexpected`, with itself as the cause. */
function toError({ name, code, message, cause }: WorkerFailure): StoreProblem {
  const options = cause && { cause: Object.assign(new Error(), cause) };
  return name === 'StoreProblem'
    ? new StoreProblem(code as StoreProblemCode, message, options)
    : new StoreProblem('unexpected', 'It failed for a reason of its own.', options);
}
