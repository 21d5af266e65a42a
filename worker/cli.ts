/** Entry point of `npm run --silent analyse -- --help`. Handles arguments, files and output; the rest is pure. */
import { existsSync, readFileSync, statSync } from 'node:fs';
import { resolve } from 'node:path';
import { type ReadFile, run } from './cli/run.ts';
import { encodingOf } from './file/csv/text-encoding.ts';

/** Longest file that is read. */
const MAX_BYTES = 128e6;

const readFile: ReadFile = (file) => {
  const path = pathOf(file);
  try {
    const stats = statSync(path);
    if (stats.isDirectory()) return { reason: 'this is a folder, not a file' };
    if (stats.size > MAX_BYTES) return { reason: `it is longer than ${MAX_BYTES / 1e6} MB` };
    const bytes = readFileSync(path);
    return { text: new TextDecoder(encodingOf(bytes)).decode(bytes) };
  } catch (cause) {
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : 'unknown reason';
    return { reason: code === 'ENOENT' ? 'there is no such file' : `it cannot be opened (${code})` };
  }
};

/** Resolves a path against the user's working directory, because npm runs scripts in the project's folder. */
function pathOf(file: string): string {
  const here = resolve(file);
  const start = process.env.INIT_CWD;
  return existsSync(here) || start === undefined ? here : resolve(start, file);
}

// A reader such as `head` closes the pipe early.
process.stdout.on('error', () => process.exit(0));

const { status, out, err } = await run(process.argv.slice(2), readFile);
process.exitCode = status;
process.stdout.write(out);
process.stderr.write(err);
