/** Workers that answer one request and are then terminated. Both sides of the channel. */

/** A rejection in the worker as plain data, since a posted error loses its class and its own fields. */
export interface WorkerFailure {
  readonly name: string;
  /** The error's `code` if it is a string. */
  readonly code?: string | undefined;
  readonly message: string;
  /** Underlying error, for the error log. */
  readonly cause?: { readonly name: string; readonly stack: string } | undefined;
}

type End<Answer> =
  | { readonly kind: 'answer'; readonly answer: Answer }
  | { readonly kind: 'failure'; readonly failure: WorkerFailure };

type Reply<Answer, Progress> = End<Answer> | { readonly kind: 'progress'; readonly progress: Progress };

/** One task of `runInWorker`. */
export interface WorkerTask<Request, Answer, Progress> {
  /**
   * Must contain the whole expression `new Worker(new URL('./x.worker.ts', import.meta.url), { type: 'module' })` for
   * the bundler.
   */
  readonly spawn: () => Worker;
  /** Structured-cloneable, as are the answer and the progress. */
  readonly request: Request;
  /**
   * Fallback when the browser does not run the worker; `cause` is the reason. Without a fallback the call then rejects.
   */
  readonly inPage?: ((cause: unknown) => Promise<Answer>) | undefined;
  readonly onProgress?: ((progress: Progress) => void) | undefined;
  /** Aborting terminates the worker; the call rejects with the signal's reason. */
  readonly signal?: AbortSignal | undefined;
  /** Error to reject with when the work failed. Default: an `Error` with the same message. */
  readonly toError?: ((failure: WorkerFailure) => Error) | undefined;
}

/** Runs one task in a new worker, which is always terminated. Rejects as the fields of `WorkerTask` describe. */
export async function runInWorker<Request, Answer, Progress = never>(
  task: WorkerTask<Request, Answer, Progress>,
): Promise<Answer> {
  const { inPage, signal } = task;
  let end: End<Answer>;
  try {
    end = await endOf(task);
  } catch (cause) {
    if (!inPage || signal?.aborted) throw cause;
    return inPage(cause);
  }
  if (end.kind === 'answer') return end.answer;
  const { failure } = end;
  throw task.toError ? task.toError(failure) : new Error(failure.message);
}

/** Rejects when the worker does not run, or with the signal's reason. */
async function endOf<Request, Answer, Progress>({
  spawn,
  request,
  onProgress,
  signal,
}: WorkerTask<Request, Answer, Progress>): Promise<End<Answer>> {
  signal?.throwIfAborted();
  const worker = spawn();
  try {
    return await new Promise<End<Answer>>((resolve, reject) => {
      signal?.addEventListener('abort', () => reject(signal.reason));
      worker.addEventListener('message', ({ data }: MessageEvent<Reply<Answer, Progress>>) => {
        if (data.kind === 'progress') onProgress?.(data.progress);
        else resolve(data);
      });
      worker.addEventListener('error', () => reject(new Error('The worker did not run.')));
      worker.postMessage(request);
    });
  } finally {
    worker.terminate();
  }
}

/** Minimum interval between progress messages. */
const PROGRESS_EVERY_MS = 100;

/** The worker's side: replies with the result of `work`, or with its failure. */
export function answerRequest<Request, Answer, Progress = never>(
  work: (request: Request, onProgress: (progress: Progress) => void) => Answer | Promise<Answer>,
): void {
  const post = (reply: Reply<Answer, Progress>): void => postMessage(reply);
  addEventListener('message', async ({ data }: MessageEvent<Request>) => {
    let postedMs = Number.NEGATIVE_INFINITY;
    const onProgress = (progress: Progress): void => {
      const nowMs = performance.now();
      if (nowMs - postedMs < PROGRESS_EVERY_MS) return;
      postedMs = nowMs;
      post({ kind: 'progress', progress });
    };
    try {
      post({ kind: 'answer', answer: await work(data, onProgress) });
    } catch (cause) {
      post({ kind: 'failure', failure: failureOf(cause) });
    }
  });
}

function failureOf(thrown: unknown): WorkerFailure {
  if (!(thrown instanceof Error)) return { name: 'Error', message: String(thrown) };
  const code = 'code' in thrown && typeof thrown.code === 'string' ? thrown.code : undefined;
  const cause = plain(thrown.cause instanceof Error ? thrown.cause : thrown);
  return { name: thrown.name, code, message: thrown.message, cause };
}

/**
 * Only strings, because error fields may not be cloneable. The message is removed from the stack, where some browsers
 * repeat it.
 */
const plain = ({ name, stack = '', message }: Error): WorkerFailure['cause'] => ({
  name,
  stack: stack.replaceAll(message, ''),
});
