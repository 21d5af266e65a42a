/** Entry point of `npm run --silent simulate -- --help`. Handles arguments, files and output; the rest is pure. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { readArguments } from '../worker/cli/arguments.ts';
import { UnusableInput } from '../worker/file/unusable-input.ts';
import { HELP } from './cli/help.ts';
import {
  captureOf,
  cylindersAsked,
  engineOf,
  hoseOf,
  number,
  SYNTAX,
  type Typed,
  whole,
} from './cli/options.ts';
import { traceText } from './cli/trace-text.ts';
import { truthJson } from './cli/truth-json.ts';
import { DEMO_ENGINES } from './demo-engines.ts';
import { cycleDeg } from './engine.ts';
import { specimen } from './population.ts';
import { createRandom } from './random.ts';
import { simulateTrace } from './simulate.ts';

const POPULATION = ['population', 'seed', 'out', 'hose', 'rate', 'whole'];

function write(folder: string, name: string, content: string): void {
  try {
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, name), content);
  } catch (cause) {
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : 'unknown';
    throw new UnusableInput(`--out ${folder}: cannot be written (${code}).`);
  }
}

type TruthFile = Record<string, ReturnType<typeof truthJson>>;
const asJson = (value: unknown) => `${JSON.stringify(value, null, 1)}\n`;

function writePopulation(typed: Typed, count: number): string {
  const unsupported = Object.keys(typed).find((name) => !POPULATION.includes(name));
  if (unsupported)
    throw new UnusableInput(`--population draws its own engines and takes no --${unsupported}.`);
  if (typeof typed.out !== 'string') throw new UnusableInput('--population needs a folder: --out DIR.');
  const options = {
    seed: whole(typed, 'seed', 0, 2 ** 31) ?? 1,
    hose: hoseOf(typed),
    rateHz: number(typed, 'rate', 5, 20000),
    whole: typed.whole === true,
  };
  const truth: TruthFile = {};
  for (let i = 0; i < count; i++) {
    const { spec, kind } = specimen(i, options);
    const made = simulateTrace(spec);
    const name = `trace-${String(i).padStart(4, '0')}.csv`;
    // Half of the files omit the hose, so that the analysis has to recognise it.
    write(typed.out, name, traceText(made, spec, i % 2 === 0));
    truth[name] = truthJson(made, spec, kind === 'sound' ? [] : [kind]);
  }
  write(typed.out, 'truth.json', asJson(truth));
  return `${count} traces and truth.json are in ${typed.out}\n`;
}

function writeCaptures(typed: Typed): string {
  const { engine, faults } = engineOf(typed);
  const folder = typeof typed.out === 'string' ? typed.out : undefined;
  const seed = whole(typed, 'seed', 0, 2 ** 31) ?? 1;
  const count = whole(typed, 'count', 1, 10000) ?? 1;
  const startDeg = number(typed, 'start-deg', -720, 720);
  if (count > 1 && folder === undefined) throw new UnusableInput('--count needs a folder: --out DIR.');
  const capture = captureOf(typed, engine);
  const truth: TruthFile = {};
  for (const cylinder of cylindersAsked(typed, engine, folder !== undefined)) {
    for (let n = 0; n < count; n++) {
      const random = createRandom(seed).fork(cylinder).fork(n);
      const spec = {
        ...capture,
        cylinder,
        startDeg: startDeg ?? (count > 1 ? random.between(0, cycleDeg(engine)) : undefined),
        seed: random.index(2 ** 31),
      };
      const made = simulateTrace(spec);
      const name = `c${cylinder}-${spec.condition}${count > 1 ? `-${String(n + 1).padStart(3, '0')}` : ''}.csv`;
      const kinds = faults.filter((f) => f.cylinders.length === 0 || f.cylinders.includes(cylinder));
      truth[name] = truthJson(
        made,
        spec,
        kinds.map((f) => f.kind),
      );
      if (folder === undefined) return typed.truth ? asJson(truth[name]) : traceText(made, spec);
      write(folder, name, traceText(made, spec));
    }
  }
  if (folder !== undefined && typed.truth) write(folder, 'truth.json', asJson(truth));
  return `${Object.keys(truth).length} traces are in ${folder}\n`;
}

function run(): string {
  const outcome = readArguments(process.argv.slice(2), SYNTAX);
  if (outcome.kind === 'help') return HELP;
  if (outcome.kind === 'wrong') throw new UnusableInput(outcome.message);
  const typed = outcome.given;
  if (typed.demo === 'list') return DEMO_ENGINES.map((d) => `${d.id.padEnd(22)}${d.story}\n`).join('');
  if (typed.whole && typed.population === undefined)
    throw new UnusableInput('--whole goes with --population.');
  const population = whole(typed, 'population', 1, 100000);
  return population === undefined ? writeCaptures(typed) : writePopulation(typed, population);
}

// A reader such as `head` closes the pipe early; that is not an error.
process.stdout.on('error', () => {});
try {
  process.stdout.write(run());
} catch (cause) {
  if (!(cause instanceof UnusableInput)) throw cause;
  process.stderr.write(`simulate: ${cause.message}\n`);
  process.exitCode = 2;
}
