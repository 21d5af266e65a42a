/** Entry point of `npm run --silent read-dial -- --help`. Handles arguments, files and output; the rest is pure. */
import { createReadStream, existsSync, readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { parseDialMarks } from './cli/dial-marks.ts';
import { DIAL_HELP, type DialOptions, parseDialOptions } from './cli/dial-options.ts';
import { readClip } from './cli/read-clip.ts';
import { printable } from './cli/table.ts';
import { UnusableInput } from './file/unusable-input.ts';

/** Resolves a path against the user's working directory, because npm runs scripts in the project's folder. */
function pathOf(file: string): string {
  const here = resolve(file);
  const start = process.env.INIT_CWD;
  return existsSync(here) || start === undefined ? here : resolve(start, file);
}

function unopened(file: string, cause: unknown): UnusableInput {
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : 'unknown reason';
  if (code === 'EISDIR') return new UnusableInput(`${file}: this is a folder, not a file`);
  return new UnusableInput(
    `${file}: ${code === 'ENOENT' ? 'there is no such file' : `it cannot be opened (${code})`}`,
  );
}

function textOf(file: string): string {
  try {
    return readFileSync(pathOf(file), 'utf8');
  } catch (cause) {
    throw unopened(file, cause);
  }
}

async function* chunksOf(file: string): AsyncGenerator<Uint8Array> {
  try {
    for await (const chunk of createReadStream(pathOf(file), { highWaterMark: 1 << 20 })) yield chunk;
  } catch (cause) {
    throw unopened(file, cause);
  }
}

async function write({ marksFile, clip, unit }: DialOptions): Promise<void> {
  const marks = parseDialMarks(textOf(marksFile), marksFile);
  for await (const line of readClip(chunksOf(clip), clip, marks, unit)) process.stdout.write(line);
}

// A reader such as `head` closes the pipe early.
process.stdout.on('error', () => process.exit(0));

const outcome = parseDialOptions(process.argv.slice(2));
try {
  if (outcome.kind === 'help') process.stdout.write(DIAL_HELP);
  else if (outcome.kind === 'wrong') throw new UnusableInput(outcome.message);
  else await write(outcome.options);
} catch (cause) {
  const message = cause instanceof Error ? cause.message : String(cause);
  const prefix = cause instanceof UnusableInput ? '' : 'the reading stopped unexpectedly: ';
  process.stderr.write(`${printable(`read-dial: ${prefix}${message}`)}\n`);
  process.exitCode = 2;
}
