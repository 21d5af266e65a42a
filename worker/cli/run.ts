import type { EngineCard } from '../file/card/engine-card.ts';
import type { ColumnMapping } from '../file/columns/column-mapping.ts';
import { readTraceFile } from '../file/columns/mapped-csv.ts';
import type { FileProblem, RecordedTrace, TraceFileOutcome } from '../file/csv/trace-file.ts';
import { UnusableInput } from '../file/unusable-input.ts';
import { analysisJson } from './analysis-json.ts';
import { analyseTest, Contradiction, type EngineTest } from './engine-test.ts';
import { HELP, type Options, parseOptions } from './options.ts';
import { analysisTable, printable } from './table.ts';

/** Exit status, and texts for standard output and standard error. */
export interface Answer {
  readonly status: 0 | 2;
  readonly out: string;
  readonly err: string;
}

/** Reads a file. `reason`: why it cannot be read, phrased to follow the file name. */
export type ReadFile = (file: string) => { readonly text: string } | { readonly reason: string };

/** Runs the command without access to files or output. Never throws: unexpected errors give status 2 too. */
export async function run(words: readonly string[], readFile: ReadFile): Promise<Answer> {
  try {
    return { status: 0, out: await answer(words, readFile), err: '' };
  } catch (cause) {
    const message = cause instanceof Error ? cause.message : String(cause);
    const prefix = cause instanceof UnusableInput ? '' : 'the analysis stopped unexpectedly: ';
    return { status: 2, out: '', err: `${printable(`analyse: ${prefix}${message}`)}\n` };
  }
}

async function answer(words: readonly string[], readFile: ReadFile): Promise<string> {
  const outcome = parseOptions(words);
  if (outcome.kind === 'help') return HELP;
  if (outcome.kind === 'wrong') throw new UnusableInput(outcome.message);
  const { options } = outcome;
  const card = await readCard(options, readFile);
  const mappings = await readMappings(options, readFile);
  const files = options.files.map((file) => readTraces(file, mappings, readFile));
  const fileRemarks = files.flatMap(({ remarks }, i) => remarks.map((one) => `${options.files[i]}: ${one}`));
  const test = judged(
    files.flatMap(({ traces }) => traces),
    card,
    options,
  );
  return options.json
    ? `${JSON.stringify(analysisJson(test, fileRemarks), null, 2)}\n`
    : analysisTable(test, options.unit, fileRemarks);
}

function judged(traces: readonly RecordedTrace[], card: EngineCard, options: Options): EngineTest {
  try {
    return analyseTest(traces, card, options);
  } catch (cause) {
    if (cause instanceof Contradiction) throw new UnusableInput(`${options.engineFile}: ${cause.message}`);
    throw cause;
  }
}

async function readCard({ engineFile }: Options, readFile: ReadFile): Promise<EngineCard> {
  if (engineFile === undefined) return {};
  // Loaded lazily, because the card's checks take as long to load as everything else.
  const { parseEngineCard } = await import('../file/card/engine-card.ts');
  const outcome = parseEngineCard(textOf(engineFile, readFile));
  if (!outcome.ok) throw unreadable(engineFile, outcome.problem);
  return outcome.card;
}

async function readMappings({ columnFiles }: Options, readFile: ReadFile): Promise<ColumnMapping[]> {
  if (columnFiles.length === 0) return [];
  const { parseMapping } = await import('../file/columns/mapping-file.ts');
  return columnFiles.map((file) => {
    const outcome = parseMapping(textOf(file, readFile));
    if (!outcome.ok) throw new UnusableInput(`${file}: ${outcome.detail}`);
    return outcome.mapping;
  });
}

function readTraces(
  file: string,
  mappings: readonly ColumnMapping[],
  readFile: ReadFile,
): Extract<TraceFileOutcome, { ok: true }> {
  const text = textOf(file, readFile);
  if (/^\s*\{\s*"format":\s*"strokebook-session"/.test(text)) {
    throw new UnusableInput(
      `${file}: this is a session file. Open it in the app, which writes a CSV of each take.`,
    );
  }
  const outcome = readTraceFile(text, file, mappings);
  if (!outcome.ok) throw unreadable(file, outcome.problem);
  if (mappings.length === 0 || outcome.isMapped) return outcome;
  const remark = 'It has another shape than the files of --columns, so its own header row was used.';
  return { ...outcome, remarks: [remark, ...outcome.remarks] };
}

function textOf(file: string, readFile: ReadFile): string {
  const found = readFile(file);
  if ('reason' in found) throw new UnusableInput(`${file}: ${found.reason}`);
  return found.text;
}

const unreadable = (file: string, { line, excerpt, detail }: FileProblem) =>
  new UnusableInput(
    `${file}${line === undefined ? '' : `, line ${line}`}: ${detail}${excerpt === undefined ? '' : ` The line: ${excerpt}`}`,
  );
