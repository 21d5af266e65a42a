/** One request, one answer, from a worker that is always terminated: both sides over a real message channel. */
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { createErrorLog } from '../../src/platform/error-log.ts';
import { answerRequest, runInWorker, type WorkerTask } from '../../src/platform/one-shot-worker.ts';
import { startTransfer } from '../../src/screens/export/transfer-client.ts';
import { StoreProblem, type TestStore } from '../../src/store/port.ts';

type Work = Parameters<typeof answerRequest<string, string, number>>[0];

let terminated = 0;
const ports: MessagePort[] = [];

beforeEach(() => {
  terminated = 0;
});

afterEach(() => {
  vi.unstubAllGlobals();
  for (const port of ports.splice(0)) port.close();
});

/** A worker whose script is `answerRequest(work)`. */
function workerFor(work: Work): Worker {
  const { port1, port2 } = new MessageChannel();
  ports.push(port1, port2);
  vi.stubGlobal('postMessage', (message: unknown) => port1.postMessage(message));
  vi.stubGlobal('addEventListener', (type: string, listener: EventListener) => {
    port1.addEventListener(type, listener);
    port1.start();
  });
  answerRequest(work);
  return {
    postMessage: (message: unknown) => port2.postMessage(message),
    addEventListener(type: string, listener: EventListener) {
      if (type !== 'message') return;
      port2.addEventListener(type, listener);
      port2.start();
    },
    terminate() {
      terminated++;
      port1.close();
    },
  } as unknown as Worker;
}

/** A worker that the browser refuses to start. */
const deadWorker = (): Worker =>
  ({
    postMessage() {},
    addEventListener(type: string, listener: (event: Event) => void) {
      if (type === 'error') queueMicrotask(() => listener(new Event('error')));
    },
    terminate() {
      terminated++;
    },
  }) as unknown as Worker;

const run = (work: Work, more: Partial<WorkerTask<string, string, number>> = {}): Promise<string> =>
  runInWorker<string, string, number>({ spawn: () => workerFor(work), request: 'hose', ...more });

describe('a task in a worker', () => {
  test('returns its answer, and the worker is terminated', async () => {
    expect(await run((request) => request.toUpperCase())).toBe('HOSE');
    expect(terminated).toBe(1);
  });

  test('reports its progress, at most every tenth of a second', async () => {
    const onProgress = vi.fn();
    const work: Work = async (_, report) => {
      for (const share of [0.1, 0.2, 0.3]) report(share);
      return 'done';
    };
    expect(await run(work, { onProgress })).toBe('done');
    expect(onProgress.mock.calls).toEqual([[0.1]]);
  });

  test('that throws rejects, is not repeated in the page, and the worker is terminated', async () => {
    const inPage = vi.fn();
    const work: Work = () => {
      throw new Error('no such take');
    };
    await expect(run(work, { inPage })).rejects.toThrow('no such take');
    expect(inPage).not.toHaveBeenCalled();
    expect(terminated).toBe(1);
  });

  test('keeps name and code of an error for the caller', async () => {
    const work: Work = () => Promise.reject(new StoreProblem('full', 'no more room'));
    const toError = vi.fn(() => new Error('mapped'));
    await expect(run(work, { toError })).rejects.toThrow('mapped');
    expect(toError).toHaveBeenCalledWith(
      expect.objectContaining({ name: 'StoreProblem', code: 'full', message: 'no more room' }),
    );
  });

  test('whose answer cannot be posted rejects instead of hanging', async () => {
    await expect(run(() => (() => '') as unknown as string)).rejects.toThrow(/could not be cloned/);
  });

  test('that is aborted ends at once, with the reason', async () => {
    const control = new AbortController();
    const inPage = vi.fn();
    const answer = run(() => new Promise(() => {}), { signal: control.signal, inPage });
    control.abort(new Error('cancelled'));
    await expect(answer).rejects.toThrow('cancelled');
    expect(terminated).toBe(1);
    expect(inPage).not.toHaveBeenCalled();
  });

  test('that was aborted before it began starts no worker', async () => {
    const spawn = vi.fn(deadWorker);
    await expect(run(() => '', { spawn, signal: AbortSignal.abort(new Error('left')) })).rejects.toThrow(
      'left',
    );
    expect(spawn).not.toHaveBeenCalled();
  });

  test('runs in the page where the browser runs no worker', async () => {
    const refuse = () => {
      throw new DOMException('Not allowed.', 'SecurityError');
    };
    const inPage = async () => 'in the page';
    expect(await run(() => '', { spawn: deadWorker, inPage })).toBe('in the page');
    expect(await run(() => '', { spawn: refuse, inPage })).toBe('in the page');
    await expect(run(() => '', { spawn: deadWorker })).rejects.toThrow('did not run');
    expect(terminated).toBe(2);
  });
});

describe('a transfer', () => {
  const log = { add: vi.fn() };
  const transfer = (signal = new AbortController().signal) =>
    startTransfer(
      { store: {} as TestStore, log },
      { kind: 'backup', savedAt: '2026-11-25T10:00:00Z' },
      () => {},
      signal,
    );
  const stubWorker = (spawn: () => Worker) =>
    vi.stubGlobal('Worker', function (this: unknown) {
      return spawn();
    });

  test('refused by the store in its worker rejects with the same code', async () => {
    stubWorker(() => workerFor(() => Promise.reject(new StoreProblem('full', 'no more room'))));
    await expect(transfer()).rejects.toMatchObject({ name: 'StoreProblem', code: 'full' });
  });

  test('that failed for another reason rejects as unexpected, with that cause', async () => {
    stubWorker(() => workerFor(() => Promise.reject(new TypeError('x is undefined'))));
    await expect(transfer()).rejects.toMatchObject({
      name: 'StoreProblem',
      code: 'unexpected',
      cause: expect.objectContaining({ name: 'TypeError' }),
    });
  });

  test('writes the cause of a refusal to the error log, without user text', async () => {
    const cause = new DOMException('Anna’s estate.', 'QuotaExceededError');
    stubWorker(() => workerFor(() => Promise.reject(new StoreProblem('full', 'no more room', { cause }))));
    const errors = createErrorLog(
      { read: () => null, write: () => undefined },
      { wallTime: () => '2026-11-27T12:00:00.000Z' },
    );
    errors.add('transfer backup', await transfer().catch((why: unknown) => why));
    expect(errors.lines()[0]!.replace(/ at [^;]*(?=;|$)/g, ' at')).toBe(
      '2026-11-27T12:00:00Z transfer backup: StoreProblem full at; cause: QuotaExceededError at',
    );
  });

  test('that was cancelled returns `null`', async () => {
    const control = new AbortController();
    stubWorker(() => workerFor(() => new Promise(() => {})));
    const outcome = transfer(control.signal);
    control.abort();
    expect(await outcome).toBeNull();
  });
});
