/** A `StoreProblem` between a worker and its page: thrown across, it would lose its code on the way. */
import { StoreProblem, type StoreProblemCode } from '../../store/port.ts';

export interface Refusal {
  readonly told: 'refused';
  readonly code: StoreProblemCode;
  readonly message: string;
  /** What lay behind it, for the error log. */
  readonly cause?: { readonly name: string; readonly stack: string } | undefined;
}

/** Whatever was thrown in the worker. What is no `StoreProblem` is `unexpected`, and its own cause. */
export function asRefusal(cause: unknown): Refusal {
  if (!(cause instanceof StoreProblem)) {
    const message = 'It failed for a reason of its own.';
    return { told: 'refused', code: 'unexpected', message, cause: plain(cause) };
  }
  return { told: 'refused', code: cause.code, message: cause.message, cause: plain(cause.cause) };
}

/** Only text: an error may hold what cannot be sent. Some browsers repeat the message in the stack, where it is not wanted. */
const plain = (cause: unknown): Refusal['cause'] =>
  cause instanceof Error
    ? { name: cause.name, stack: (cause.stack ?? '').replaceAll(cause.message, '') }
    : undefined;

export const asStoreProblem = ({ code, message, cause }: Refusal): StoreProblem =>
  new StoreProblem(code, message, cause && { cause: Object.assign(new Error(), cause) });
