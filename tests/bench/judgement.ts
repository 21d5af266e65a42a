/**
 * Measures the quality of the judgement: `npm run judgement -- [FOLDER...] [--engines N] [--seed S] [--misses] [--fit]
 * [--plot FILE.svg] [--write]`, or `npm run judgement -- --models [--sound] [--engines N] [--seed S] [--misses] [--write]`.
 *
 * Without a FOLDER: N engines (default 500) of the project's own simulator, from seed S (default 100 000).
 *
 * `--plot` draws confidence against truth for the simulated engines; the committed picture is made with `--engines 2000 --plot
 * tests/bench/judgement-reliability.svg`.
 *
 * `--models` judges N engines (default 150) of each model of the simulator's family instead, and prints a row for each model and group:
 * a model's figures come from a calibration that was fitted without it. With `--sound` all N (default 1000) are sound. The exit
 * code is 1 when a limit is missed.
 *
 * `--write` puts the figures into the README files.
 *
 * `--fit` prints the figures behind the judgement's constants instead. They were fitted to `--engines 1200 --seed 1`; reported
 * figures come from other engines.
 *
 * FOLDER holds one folder of trace CSV files for each engine and an `index.json`: engine -> { kind, bad }, with `kind` a cause or
 * `sound` and `bad` the cylinders. Every engine is processed as by the command line: CSV, reading, judgement.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { analyseTest } from '../../worker/cli/engine-test.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { defaultRule } from '../../worker/core/judge/rules.ts';
import { reportFamilyJudgement } from './family/family-judgement.ts';
import { USUAL_PLAN } from './family/family-run.ts';
import { printCalibration, printFit } from './judgement-fit.ts';
import { reliabilitySvg } from './judgement-plot.ts';
import { type SimulatedTest, simulateTest } from './judgement-population.ts';
import {
  explanationsRight,
  isRight,
  type JudgedEngine,
  reliability,
  rightByKind,
  scoreOf,
} from './judgement-score.ts';
import { tracesIn } from './traces-in.ts';
import { writeTable } from './write-table.ts';

interface IndexEntry {
  readonly kind: string;
  readonly bad: readonly number[];
}

function judgeFolder(folder: string): JudgedEngine[] {
  const index = JSON.parse(readFileSync(join(folder, 'index.json'), 'utf8')) as Record<string, IndexEntry>;
  return Object.entries(index).map(([id, { kind, bad }]) => ({
    id,
    faults: kind === 'sound' ? [] : [{ cause: kind, cylinders: bad }],
    judgement: analyseTest(tracesIn(join(folder, id)), {}, {}).judgement,
  }));
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

function report(title: string, engines: readonly JudgedEngine[], misses: boolean): void {
  const score = scoreOf(engines);
  console.log(`${title}: ${score.engines} engines`);
  console.log(`  right cause and cylinders  ${percent(score.right)}`);
  console.log(`  sound engines at fault     ${score.falseFaults} of ${score.soundEngines}`);
  console.log(`  Brier score of suspects    ${score.brierOfSuspects.toFixed(4)}`);
  console.log(`  Brier score of engines     ${score.brierOfEngines.toFixed(4)}`);
  for (const [kind, [right, of]] of [...rightByKind(engines)].sort()) {
    console.log(`  ${kind.padEnd(14)} ${right} of ${of}`);
  }
  const explained = explanationsRight(engines);
  console.log(
    `  which all low, right       ${explained.filter(Boolean).length} of ${explained.length} stated`,
  );
  console.log('  confidence said   was true   suspects');
  for (const row of reliability(engines)) {
    console.log(
      `  ${percent(row.meanConfidence).padStart(15)} ${percent(row.shareTrue).padStart(10)} ${String(row.count).padStart(10)}`,
    );
  }
  if (!misses) return;
  for (const one of engines.filter((engine) => !isRight(engine))) {
    const wrong = one.faults.map(({ cause, cylinders }) => `${cause} ${cylinders.join('+')}`).join(', ');
    const named = one.judgement.suspects.map(
      ({ cause, cylinders, confidence }) => `${cause} ${cylinders.join('+')} ${percent(confidence)}`,
    );
    console.log(
      `  miss ${one.id}: ${wrong || 'sound'} -> ${one.judgement.verdict}; ${named.join(', ') || 'no suspect'}`,
    );
  }
}

function simulated(count: number, seed: number): SimulatedTest[] {
  return Array.from({ length: count }, (_, i) => simulateTest(seed + i));
}

const judgeTest = ({ id, faults, readings, engine, conditions }: SimulatedTest): JudgedEngine => ({
  id,
  faults,
  judgement: judgeEngine(readings, engine, defaultRule(engine), conditions),
});

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: {
    engines: { type: 'string' },
    seed: { type: 'string' },
    misses: { type: 'boolean', default: false },
    models: { type: 'boolean', default: false },
    sound: { type: 'boolean', default: false },
    fit: { type: 'boolean', default: false },
    plot: { type: 'string' },
    write: { type: 'boolean', default: false },
  },
});
const count = Number(values.engines ?? (values.models ? (values.sound ? 1000 : USUAL_PLAN.count) : 500));
const seed = Number(values.seed ?? (values.models ? USUAL_PLAN.seed : 100_000));
const tests = (): SimulatedTest[] => simulated(count, seed);

function printConstants(): void {
  const all = tests();
  printFit(all);
  printCalibration(all.map(judgeTest));
}

function reportSimulated(): void {
  const all = tests();
  const judged = all.map(judgeTest);
  report('simulated, all', judged, values.misses);
  report('of these measured thoroughly', all.filter((one) => one.thorough).map(judgeTest), false);
  if (values.plot !== undefined) writeFileSync(values.plot, plotOf(judged));
  if (values.write) write(judged);
}

function write(judged: readonly JudgedEngine[]): void {
  const score = scoreOf(judged);
  const command = `npm run judgement -- --engines ${count}`;
  const rows: (readonly (string | number)[])[] = [
    ['right cause and cylinders', percent(score.right)],
    ...[...rightByKind(judged)].sort().map(([kind, [right, of]]) => [`${kind}, right`, `${right} of ${of}`]),
    ['sound engines called faulty', `${score.falseFaults} of ${score.soundEngines}`],
    ['Brier score of suspects', score.brierOfSuspects.toFixed(3)],
    ['Brier score of engines', score.brierOfEngines.toFixed(3)],
  ];
  for (const file of ['README.md', 'worker/core/judge/README.md'])
    writeTable(file, 'judgement', command, ['what', 'figure'], rows);
}

function plotOf(judged: readonly JudgedEngine[]): string {
  const { engines, brierOfSuspects } = scoreOf(judged);
  return reliabilitySvg(
    reliability(judged),
    'Does the stated confidence come true?',
    `${engines} simulated engines from seed ${seed}, Brier score ${brierOfSuspects.toFixed(3)}`,
  );
}

if (values.models) {
  const { sound, misses, write } = values;
  process.exitCode = (await reportFamilyJudgement({ count, seed, sound, misses, write })) ? 0 : 1;
} else if (values.fit) printConstants();
else if (positionals.length === 0) reportSimulated();
else for (const folder of positionals) report(folder, judgeFolder(folder), values.misses);
