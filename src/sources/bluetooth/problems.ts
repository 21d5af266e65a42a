import { SourceProblem, type SourceProblemCode } from '../port.ts';

const STEPS = ['choose', 'connect', 'discover', 'read', 'subscribe'] as const;
/** What was being done when something went wrong. */
export type Step = (typeof STEPS)[number];

/** The step that a problem of this link begins its message with; `null` when it came by itself, as the loss of a link does. */
export const stepOf = ({ message }: SourceProblem): Step | null =>
  STEPS.find((step) => message.startsWith(`${step}: `) || message.startsWith(`${step} took `)) ?? null;

/**
 * The one place where what the browser throws becomes what the person can do about it. Browsers give few names to
 * many causes, so the message is looked at where the name leaves it open (Chromium's wording, seen in its own tests
 * and in reports).
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
