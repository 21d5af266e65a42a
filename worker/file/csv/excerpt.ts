import type { TraceFileOutcome } from './trace-file.ts';

/** Longest excerpt, characters. */
const LONGEST = 60;

/** Adds the start of the line that a problem names. `text` has `\n` line ends. */
export function withExcerpt(outcome: TraceFileOutcome, text: string): TraceFileOutcome {
  if (outcome.ok || outcome.problem.line === undefined) return outcome;
  const line = lineOf(text, outcome.problem.line);
  return line === '' ? outcome : { ok: false, problem: { ...outcome.problem, excerpt: line } };
}

/** Line `number`, from 1, trimmed and cut. Empty when there is none. */
function lineOf(text: string, number: number): string {
  let start = 0;
  for (let line = 1; line < number; line++) {
    const newline = text.indexOf('\n', start);
    if (newline < 0) return '';
    start = newline + 1;
  }
  const newline = text.indexOf('\n', start);
  const end = newline < 0 ? text.length : newline;
  // A cut within a surrogate pair would show as a replacement mark.
  const line = Array.from(text.slice(start, Math.min(end, start + 4 * LONGEST)).trim());
  return line.length > LONGEST ? `${line.slice(0, LONGEST - 1).join('')}…` : line.join('');
}
