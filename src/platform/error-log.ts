import type { Clock, KeyValueStorage, Log } from './ports.ts';

const PLACE = 'strokebook-errors';
/** Errors kept; the oldest go first. */
const MOST = 50;
const LONGEST = 400;
/** Causes behind a cause. */
const DEEPEST = 4;

/**
 * Keeps the last errors, each with its time, from one visit to the next. Free of personal data: no message is kept, for it may
 * name an engine, a person or a figure; only the error's name and code, and of its stack the places in the app's own files.
 */
export function createErrorLog(storage: KeyValueStorage, clock: Pick<Clock, 'wallTime'>): Log {
  let kept: string[] = (storage.read(PLACE) ?? '').split('\n').filter((line) => TIMED.test(line));
  return {
    add(where, cause) {
      const what = `${where}: ${described(cause, DEEPEST)}`.slice(0, LONGEST);
      // The same again and again would push everything else out.
      if (kept.at(-1)?.replace(TIMED, '') === what) return;
      kept = [...kept, `${clock.wallTime().slice(0, 19)}Z ${what}`].slice(-MOST);
      storage.write(PLACE, kept.join('\n'));
    },
    lines: () => kept,
  };
}

/** In universal time, to the second. */
const TIMED = /^[\d-]{10}T[\d:]{8}Z /;

function described(cause: unknown, deeper: number): string {
  if (!(cause instanceof Error)) return codeOf(cause) || typeof cause;
  const { name, message, stack } = cause;
  const code = codeOf(cause);
  const behind =
    cause.cause !== undefined && deeper > 0 ? `; cause: ${described(cause.cause, deeper - 1)}` : '';
  // Some browsers repeat the message in the stack, where it could look like a place.
  const places = placesIn((stack ?? '').replaceAll(message, ''));
  return `${/^\w+$/.test(name) ? name : 'Error'}${code && ` ${code}`}${places}${behind}`;
}

/** The app's own codes are words with hyphens; empty when there is none. */
function codeOf(cause: unknown): string {
  const { code } = (cause ?? {}) as { code?: unknown };
  return typeof code === 'string' && /^[a-z-]+$/.test(code) ? code : '';
}

/** `index-AbC.js:1:2345`, the first few. */
function placesIn(stack: string): string {
  const places = [...stack.matchAll(/([\w.-]+\.[cm]?[jt]sx?)(?:\?[^:\s]*)?:(\d+):(\d+)/g)];
  const named = places.slice(0, 5).map(([, file, line, column]) => `${file}:${line}:${column}`);
  return named.length > 0 ? ` at ${named.join(' ')}` : '';
}
