/**
 * Measures the accuracy of the readings: `npm run accuracy -- [FOLDER...] [--count N] [--seed S] [--misses] [--write]`, or
 * `npm run accuracy -- --models [--count N] [--seed S] [--write]`.
 *
 * Without a FOLDER: N captures (default 60) of each kind from the project's own simulator. A FOLDER holds trace CSV files and a
 * `truth.json`, here or below: file -> { strokes, peaks_kpa, final_kpa, settled, rpm, checked, rate, drop, expect }. All are
 * read as the command line reads them. `--write` puts the figures into the README. Every figure is printed beside its limit; the exit code is 1 when one is missed.
 *
 * `--models` reads N engines (default 150) of each model of the simulator's family instead, and prints a row for each model and group. The exit code is 1
 * when a plus-minus holds too rarely in one of them.
 */
import { parseArgs } from 'node:util';
import { type Case, read } from './accuracy/case.ts';
import { type Figure, figuresOf, flaws } from './accuracy/figures.ts';
import { casesIn } from './accuracy/folder.ts';
import { simulatedCases } from './accuracy/population.ts';
import { reportFamilyAccuracy } from './family/family-accuracy.ts';
import { USUAL_PLAN } from './family/family-run.ts';
import { writeTable } from './write-table.ts';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    count: { type: 'string' },
    models: { type: 'boolean', default: false },
    seed: { type: 'string' },
    misses: { type: 'boolean', default: false },
    write: { type: 'boolean', default: false },
  },
});

const seed = Number(values.seed ?? (values.models ? USUAL_PLAN.seed : 7));
const count = Number(values.count ?? (values.models ? USUAL_PLAN.count : 60));

function report(title: string, cases: readonly Case[]): boolean {
  const started = performance.now();
  const done = cases.map(read);
  const spentS = (performance.now() - started) / 1000;
  console.log(`${title}: ${cases.length} captures read in ${spentS.toFixed(1)} s`);
  const figures = figuresOf(done);
  for (const figure of figures) console.log(line(figure));
  if (values.misses) for (const c of done) if (flaws(c)) console.log(`  ${c.name}: ${flaws(c)}`);
  if (values.write && positionals.length === 0) write(figures);
  return figures.every((f) => f.ok);
}

function write(figures: readonly Figure[]): void {
  const percent = (v: number) => `${(100 * v).toFixed(2)} %`;
  writeTable(
    'README.md',
    'accuracy',
    `npm run accuracy -- --count ${count}`,
    ['what', 'number', 'measured', 'limit'],
    figures.map(({ name, count, measured, limit }) => [name, count, percent(measured), percent(limit)]),
  );
}

function line({ name, count, measured, limit, ok }: Figure): string {
  const percent = (v: number) => `${(100 * v).toFixed(2)} %`.padStart(9);
  return `  ${name.padEnd(46)}${String(count).padStart(6)}${percent(measured)}  limit${percent(limit)}  ${ok ? 'ok' : 'not ok'}`;
}

const sets: [string, () => Case[]][] =
  positionals.length > 0
    ? positionals.map((folder) => [folder, () => casesIn(folder)])
    : [[`simulator, seed ${seed}`, () => simulatedCases(count, seed)]];

if (values.models) {
  process.exitCode = (await reportFamilyAccuracy(count, seed, values.write)) ? 0 : 1;
} else {
  const verdicts = sets.map(([title, cases]) => report(title, cases()));
  process.exitCode = verdicts.every(Boolean) ? 0 : 1;
}
