import { SourceProblem } from '../port.ts';

/** The only mapping from errors of Web Serial to `SourceProblem`. */
export function toCableProblem(cause: unknown, step: 'choose' | 'open'): SourceProblem {
  if (cause instanceof SourceProblem) return cause;
  const name = cause instanceof Error || cause instanceof DOMException ? cause.name : '';
  const message = cause instanceof Error || cause instanceof DOMException ? cause.message : String(cause);
  const problem = (code: SourceProblem['code']): SourceProblem =>
    new SourceProblem(code, `${step}: ${name}: ${message}`, { cause });
  if (name === 'SecurityError' || name === 'NotAllowedError') return problem('cable-not-allowed');
  if (step === 'choose') return problem(name === 'NotFoundError' ? 'cancelled' : 'unexpected');
  // Another program or tab holds the port, or the system denies it to this user.
  if (name === 'InvalidStateError' || name === 'NetworkError') return problem('port-busy');
  return problem('unexpected');
}
