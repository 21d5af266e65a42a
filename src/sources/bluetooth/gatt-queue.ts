import type { Clock } from '../../platform/ports.ts';
import { SourceProblem } from '../port.ts';
import { type Step, toSourceProblem } from './problems.ts';

/**
 * One GATT operation at a time: a second one is refused by the radio. Each has a time limit of its own, because some
 * never settle. One queue belongs to one link; closing it settles everything that waits.
 */
export interface GattQueue {
  /** Rejects with a `SourceProblem` only. */
  run<T>(step: Step, limitMs: number, operation: () => Promise<T>): Promise<T>;
  /** Everything running, waiting and still to come rejects with `problem`. Closing again does nothing. */
  close(problem: SourceProblem): void;
}

/** After its time is up an operation may still hold the radio: the next one gives it so long to let go. */
const LET_GO_MS = 1000;

export function createGattQueue(clock: Clock): GattQueue {
  let closed: SourceProblem | undefined;
  const closers = new Set<(problem: SourceProblem) => void>();
  /** Settles, never rejects, when the radio is free again. */
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
      let letGo: Promise<unknown> = Promise.resolve();
      const work = free.then(() => {
        if (closed !== undefined) throw closed;
        const operating = attempt(step, operation);
        letGo = operating.catch(() => undefined);
        return within(clock, operating, limitMs, `${step} took longer than ${limitMs} ms.`);
      });
      free = work.catch(() => within(clock, letGo, LET_GO_MS, '').catch(() => undefined));
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
