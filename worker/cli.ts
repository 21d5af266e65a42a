/** The analysis from a shell: `npm run --silent analyse -- --help`. The only file under worker/ that sees Node. */
import { existsSync, readFileSync, statSync } from 'node:fs';
import { resolve } from 'node:path';
import { analysisJson } from './cli/analysis-json.ts';
import { analyseTest } from './cli/engine-test.ts';
import { HELP, type Options, parseOptions } from './cli/options.ts';
import { analysisTable, printable } from './cli/table.ts';
import { parseTraceCsv } from './file/csv.ts';
import type { EngineCard } from './file/engine-card.ts';
import { encodingOf } from './file/text-encoding.ts';
import type { FileProblem, RecordedTrace } from './file/trace-file.ts';

/** Files longer than this are not read into memory at all. */
const MAX_BYTES = 128e6;

/** A file or an option that cannot be used. Its message is the one line that the person sees. */
class Unusable extends Error {}

async function run(words: readonly string[]): Promise<string> {
  const outcome = parseOptions(words);
  if (outcome.kind === 'help') return HELP;
  if (outcome.kind === 'wrong') throw new Unusable(outcome.message);
  const { options } = outcome;
  const card = await readCard(options);
  const recorded = options.files.flatMap(readTraces);
  const test = analyseTest(recorded, card, options);
  return options.json
    ? `${JSON.stringify(analysisJson(test), null, 2)}\n`
    : analysisTable(test, options.unit);
}

async function readCard({ engineFile }: Options): Promise<EngineCard> {
  if (engineFile === undefined) return {};
  const { parseEngineCard } = await import('./file/engine-card.ts');
  const outcome = parseEngineCard(readText(engineFile));
  if (!outcome.ok) throw unreadable(engineFile, outcome.problem);
  return outcome.card;
}

function readTraces(file: string): readonly RecordedTrace[] {
  const outcome = parseTraceCsv(readText(file), file);
  if (!outcome.ok) throw unreadable(file, outcome.problem);
  return outcome.traces;
}

function readText(file: string): string {
  const path = pathOf(file);
  try {
    const stats = statSync(path);
    if (stats.isDirectory()) throw new Unusable(`${file}: this is a folder, not a file`);
    if (stats.size > MAX_BYTES) throw new Unusable(`${file}: longer than ${MAX_BYTES / 1e6} MB`);
    const bytes = readFileSync(path);
    return new TextDecoder(encodingOf(bytes)).decode(bytes);
  } catch (cause) {
    if (cause instanceof Unusable) throw cause;
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : '';
    throw new Unusable(
      `${file}: ${code === 'ENOENT' ? 'there is no such file' : `cannot be opened (${code})`}`,
    );
  }
}

/** npm runs scripts in the project's folder; a path is meant from where the person stands. */
function pathOf(file: string): string {
  const here = resolve(file);
  const start = process.env.INIT_CWD;
  return existsSync(here) || start === undefined ? here : resolve(start, file);
}

const unreadable = (file: string, { line, detail }: FileProblem) =>
  new Unusable(`${file}${line === undefined ? '' : `, line ${line}`}: ${detail}`);

// A reader that has seen enough, such as `head`, closes the pipe.
process.stdout.on('error', () => process.exit(0));

try {
  process.stdout.write(await run(process.argv.slice(2)));
} catch (cause) {
  const message = cause instanceof Error ? cause.message : String(cause);
  const prefix = cause instanceof Unusable ? '' : 'the analysis stopped unexpectedly: ';
  process.stderr.write(`${printable(`analyse: ${prefix}${message}`)}\n`);
  process.exitCode = 2;
}
