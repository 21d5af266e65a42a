/** When a connection is tried again, and after which delay. */
import type { Clock } from '../../platform/ports.ts';
import { SourceProblem } from '../port.ts';
import type { Link } from './link.ts';

/**
 * Minimum delay between disconnect and reconnect. Adapters that are asked earlier return the stale link. Doubled after each
 * failed attempt.
 */
export const RELEASE_MS = 600;
const LONGEST_WAIT_MS = 4000;

/** Limits for the first connection, while the user waits. Reconnecting may take longer, because a capture depends on it. */
const FIRST_TRIES = 3;
const FIRST_TRIES_MS = 12_000;
/** A lost link is given up after this long. */
export const RECONNECT_MS = 120_000;

/** Delay before the next attempt to reconnect, milliseconds. `attempt`: 1 for the first. */
export const reconnectDelayMs = (attempt: number): number =>
  Math.min(LONGEST_WAIT_MS, RELEASE_MS * 2 ** (attempt - 1));

/** The first connection, with a few retries. Rejects with the last problem. */
export async function connectAtFirst(
  connect: () => Promise<Link>,
  clock: Clock,
  startMs: number,
): Promise<Link> {
  for (let attempt = 1; ; attempt++) {
    try {
      return await connect();
    } catch (cause) {
      const problem = asProblem(cause);
      const enough = attempt >= FIRST_TRIES || clock.nowMs() - startMs > FIRST_TRIES_MS;
      if (enough || !worthAnotherTry(problem)) throw problem;
    }
  }
}

/** Whether the first connection is retried. Adapters drop new links at random, but a device that refuses keeps refusing. */
function worthAnotherTry(problem: SourceProblem): boolean {
  return ['link-lost', 'out-of-range', 'timed-out', 'bluetooth-off', 'unexpected'].includes(problem.code);
}

/** Whether reconnecting continues. The device worked before, so most errors of the adapter are taken as temporary. */
export function mayComeBack(problem: SourceProblem): boolean {
  return problem.code !== 'not-allowed' && problem.code !== 'unknown-layout';
}

/** Any error as a `SourceProblem`; foreign ones are `unexpected`. */
export function asProblem(cause: unknown): SourceProblem {
  return cause instanceof SourceProblem ? cause : new SourceProblem('unexpected', String(cause), { cause });
}

/** Waits `ms`, or until `early` calls. Rejects with `cancelled` when `signal` aborts. */
export function pause(
  clock: Clock,
  ms: number,
  signal: AbortSignal,
  early: (call: () => void) => () => void = () => () => {},
): Promise<void> {
  return new Promise((resolve, reject) => {
    const stop = (): void => {
      cancel();
      ignoreEarly();
      reject(new SourceProblem('cancelled', 'Stopped while waiting.'));
    };
    const end = (): void => {
      cancel();
      ignoreEarly();
      signal.removeEventListener('abort', stop);
      resolve();
    };
    const ignoreEarly = early(end);
    const cancel = clock.after(ms, end);
    if (signal.aborted) stop();
    else signal.addEventListener('abort', stop, { once: true });
  });
}
