/** Workers that get one request, give one answer and are then terminated. Both sides of the channel. */

/** A rejection in the worker, as plain data: an error that is posted loses its class and its own fields. */
export interface WorkerFailure {
  readonly name: string;
  /** The error's own `code` where it is text. */
  readonly code?: string | undefined;
  readonly message: string;
  /** What lay behind it, for the error log. */
  readonly cause?: { readonly name: string; readonly stack: string } | undefined;
}

type End<Answer> =
  | { readonly kind: 'answer'; readonly answer: Answer }
  | { readonly kind: 'failure'; readonly failure: WorkerFailure };

type Reply<Answer, Progress> = End<Answer> | { readonly kind: 'progress'; readonly progress: Progress };

export interface WorkerTask<Request, Answer, Progress> {
  /** `new Worker(new URL('./x.worker.ts', import.meta.url), { type: 'module' })`: the bundler recognises it only as a whole. */
  readonly spawn: () => Worker;
  /** Plain data, as the answer and the progress. */
  readonly request: Request;
  /**
   * Does the work in the page, where the browser does not run the worker, for the reason given. Without it the call then
   * rejects.
   */
  readonly inPage?: ((cause: unknown) => Promise<Answer>) | undefined;
  readonly onProgress?: ((progress: Progress) => void) | undefined;
  /** Ends the worker at once; the call then rejects with the signal's reason. */
  readonly signal?: AbortSignal | undefined;
  /** The error to reject with when the work itself failed. */
  readonly toError?: ((failure: WorkerFailure) => Error) | undefined;
}

/** Runs one task in a worker of its own, which is terminated when it ends in any way. */
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

/** More often than this no one could read a progress. */
const PROGRESS_EVERY_MS = 100;

/** The worker's side: answers the request with what `work` returns, or reports why it failed. */
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

/** Only text: an error may hold what cannot be sent. Some browsers repeat the message in the stack, where it is not wanted. */
const plain = ({ name, stack = '', message }: Error): WorkerFailure['cause'] => ({
  name,
  stack: stack.replaceAll(message, ''),
});
