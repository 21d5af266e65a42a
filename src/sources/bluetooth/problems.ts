import { SourceProblem, type SourceProblemCode } from '../port.ts';

const STEPS = ['choose', 'connect', 'discover', 'read', 'subscribe'] as const;
/** The operation that failed. */
export type Step = (typeof STEPS)[number];

/** The step named at the start of a problem's message; `null` when there is none, as for a lost link. */
export const stepOf = ({ message }: SourceProblem): Step | null =>
  STEPS.find((step) => message.startsWith(`${step}: `) || message.startsWith(`${step} took `)) ?? null;

/**
 * The only mapping from browser errors to `SourceProblem`. Browsers use few error names for many causes, so the message
 * decides where the name is ambiguous. The patterns are Chromium's wording, seen in its own tests and in reports.
 */
export function toSourceProblem(cause: unknown, step: Step): SourceProblem {
  if (cause instanceof SourceProblem) return cause;
  const name = cause instanceof Error || cause instanceof DOMException ? cause.name : '';
  const text = cause instanceof Error || cause instanceof DOMException ? cause.message : String(cause);
  return new SourceProblem(codeFor(name, text, step), `${step}: ${name === '' ? '' : `${name}: `}${text}`, {
    cause,
  });
}

function codeFor(name: string, text: string, step: Step): SourceProblemCode {
  if (name === 'SecurityError' || name === 'NotAllowedError' || /globally disabled|permission/i.test(text)) {
    return 'not-allowed';
  }
  if (/adapter|bluetooth is (?:off|disabled)|powered off/i.test(text)) return 'bluetooth-off';
  if (step === 'choose') {
    if (name === 'NotFoundError' || name === 'AbortError') return 'cancelled';
    return name === 'NotSupportedError' ? 'no-bluetooth' : 'unexpected';
  }
  if (/no longer in range|out of range|not found in range/i.test(text)) return 'out-of-range';
  if (/disconnected|not connected|connection is lost/i.test(text)) return 'link-lost';
  if (/authenticat|pair|encrypt|not permitted|not authorized|in progress|refused|reject/i.test(text)) {
    return 'refused';
  }
  if (name === 'TimeoutError' || /timed? ?out/i.test(text)) return 'timed-out';
  if (name === 'NetworkError') return step === 'connect' ? 'out-of-range' : 'link-lost';
  if (name === 'NotFoundError') return step === 'discover' ? 'no-pressure-service' : 'link-lost';
  if (name === 'InvalidStateError') return 'link-lost';
  if (name === 'NotSupportedError') return 'refused';
  return 'unexpected';
}
