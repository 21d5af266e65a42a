import type { Clock } from '../../platform/ports.ts';
import { SourceProblem } from '../port.ts';
import { type Step, toSourceProblem } from './problems.ts';

/**
 * Runs one GATT operation at a time, because the radio refuses a second one. Each has a timeout, because some never
 * settle. A queue belongs to one link; `close` rejects everything pending.
 */
export interface GattQueue {
  /** Queues an operation with a timeout of `limitMs` milliseconds. Rejects only with a `SourceProblem`. */
  run<T>(step: Step, limitMs: number, operation: () => Promise<T>): Promise<T>;
  /** All running, queued and later operations reject with `problem`. A second call has no effect. */
  close(problem: SourceProblem): void;
}

/** An operation that timed out may still occupy the radio: the next one waits this long for it to settle. */
const RELEASE_MS = 1000;

/** An open queue. */
export function createGattQueue(clock: Clock): GattQueue {
  let closed: SourceProblem | undefined;
  const closers = new Set<(problem: SourceProblem) => void>();
  /** Resolves when the radio is free again; never rejects. */
  let free: Promise<unknown> = Promise.resolve();

  /** Settles with `work`, but rejects earlier when the queue is closed. */
  function untilClosed<T>(work: Promise<T>): Promise<T> {
    return new Promise<T>((resolve, reject) => {
      closers.add(reject);
      work.then(resolve, reject).finally(() => closers.delete(reject));
    });
  }

  return {
    run(step, limitMs, operation) {
      if (closed !== undefined) return Promise.reject(closed);
      let released: Promise<unknown> = Promise.resolve();
      const work = free.then(() => {
        if (closed !== undefined) throw closed;
        const operating = attempt(step, operation);
        released = operating.catch(() => undefined);
        return within(clock, operating, limitMs, `${step} took longer than ${limitMs} ms.`);
      });
      free = work.catch(() => within(clock, released, RELEASE_MS, '').catch(() => undefined));
      return untilClosed(work);
    },
    close(problem) {
      closed ??= problem;
      for (const reject of closers) reject(problem);
      closers.clear();
    },
  };
}

async function attempt<T>(step: Step, operation: () => Promise<T>): Promise<T> {
  try {
    return await operation();
  } catch (cause) {
    throw toSourceProblem(cause, step);
  }
}

/** Rejects with `timed-out` when `work` takes longer than `limitMs`. */
function within<T>(clock: Clock, work: Promise<T>, limitMs: number, message: string): Promise<T> {
  return new Promise<T>((resolve, reject) => {
    const cancel = clock.after(limitMs, () => reject(new SourceProblem('timed-out', message)));
    work.then(resolve, reject).finally(cancel);
  });
}
