import type { Clock, KeyValueStorage, Log } from './ports.ts';

const PLACE = 'strokebook-errors';
/** Errors kept; the oldest are dropped first. */
const MOST = 50;
/** Longest entry, characters. */
const LONGEST = 400;
/** Depth of nested causes. */
const DEEPEST = 4;

/**
 * Keeps the last errors with their times, across visits. Contains no personal data: messages are dropped, because they may
 * name an engine, a person or a figure. An entry has the error's name, its code, and stack positions in the app's files.
 */
export function createErrorLog(storage: KeyValueStorage, clock: Pick<Clock, 'wallTime'>): Log {
  let kept: string[] = (storage.read(PLACE) ?? '').split('\n').filter((line) => TIMED.test(line));
  return {
    add(where, cause) {
      const what = `${where}: ${described(cause, DEEPEST)}`.slice(0, LONGEST);
      // A repeated error would push the others out.
      if (kept.at(-1)?.replace(TIMED, '') === what) return;
      kept = [...kept, `${clock.wallTime().slice(0, 19)}Z ${what}`].slice(-MOST);
      storage.write(PLACE, kept.join('\n'));
    },
    lines: () => kept,
  };
}

/** UTC, to the second. */
const TIMED = /^[\d-]{10}T[\d:]{8}Z /;

/** Name, code, positions and causes of an error. */
function described(cause: unknown, deeper: number): string {
  if (!(cause instanceof Error)) return codeOf(cause) || typeof cause;
  const { name, message, stack } = cause;
  const code = codeOf(cause);
  const behind =
    cause.cause !== undefined && deeper > 0 ? `; cause: ${described(cause.cause, deeper - 1)}` : '';
  // Some browsers repeat the message in the stack, where it could look like a position.
  const places = placesIn((stack ?? '').replaceAll(message, ''));
  return `${/^\w+$/.test(name) ? name : 'Error'}${code && ` ${code}`}${places}${behind}`;
}

/** The error's `code` in the app's own form (lower case, hyphens); empty when there is none. */
function codeOf(cause: unknown): string {
  const { code } = (cause ?? {}) as { code?: unknown };
  return typeof code === 'string' && /^[a-z-]+$/.test(code) ? code : '';
}

/** Up to five positions such as `index-AbC.js:1:2345`. */
function placesIn(stack: string): string {
  const places = [...stack.matchAll(/([\w.-]+\.[cm]?[jt]sx?)(?:\?[^:\s]*)?:(\d+):(\d+)/g)];
  const named = places.slice(0, 5).map(([, file, line, column]) => `${file}:${line}:${column}`);
  return named.length > 0 ? ` at ${named.join(' ')}` : '';
}
