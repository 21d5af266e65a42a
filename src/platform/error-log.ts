import type { Log, Notebook } from './ports.ts';

const PLACE = 'strokebook-errors';
/** Errors kept; the oldest go first. */
const MOST = 50;
const LONGEST = 400;
/** Causes behind a cause. */
const DEEPEST = 4;

/**
 * Keeps the last errors, from one visit to the next. Free of personal data: whatever stands in quotation marks in a message
 * is left out, for it may be a name or a figure of the person, and of a stack only places in the app's own files.
 */
export function createErrorLog(notebook: Notebook): Log {
  let kept: string[] = (notebook.read(PLACE) ?? '').split('\n').filter(Boolean);
  return {
    add(where, cause) {
      const line = `${where}: ${described(cause, DEEPEST)}`.replaceAll('\n', ' ').slice(0, LONGEST);
      // The same again and again would push everything else out.
      if (kept.at(-1) === line) return;
      kept = [...kept, line].slice(-MOST);
      notebook.write(PLACE, kept.join('\n'));
    },
    lines: () => kept,
  };
}

function described(cause: unknown, deeper: number): string {
  if (!(cause instanceof Error)) return typeof cause;
  const code = 'code' in cause && typeof cause.code === 'string' ? ` ${cause.code}` : '';
  const behind =
    cause.cause !== undefined && deeper > 0 ? `; cause: ${described(cause.cause, deeper - 1)}` : '';
  return `${cause.name}${code}: ${withoutQuotes(cause.message)}${placesIn(cause.stack)}${behind}`;
}

const withoutQuotes = (message: string): string =>
  message.replace(/"[^"]*"|“[^”]*”|‘[^’]*’|'[^']*'|`[^`]*`/g, '…');

/** `index-AbC.js:1:2345`, the first few. */
function placesIn(stack: string | undefined): string {
  const places = [...(stack ?? '').matchAll(/([\w.-]+\.[cm]?[jt]sx?)(?:\?[^:\s]*)?:(\d+):(\d+)/g)];
  const named = places.slice(0, 5).map(([, file, line, column]) => `${file}:${line}:${column}`);
  return named.length > 0 ? ` at ${named.join(' ')}` : '';
}
