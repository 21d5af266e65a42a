/**
 * Measures the accuracy of the leak size estimate: `npm run leak -- [FOLDER...] [--engines N] [--seed S] [--each] [--write] [--models]`.
 *
 * Without a FOLDER: N engines (default 200) of the project's own simulator, from seed S (default 200 000).
 *
 * `--models` takes N engines (default 150) of each model of the simulator's family instead: a model's figures come from a doubt
 * that was fitted without it. The exit code is 1 when a limit is missed.
 *
 * FOLDER holds one folder of trace CSV files for each engine, an `index.json` whose keys are these folders' names, and a
 * `truth.json`: "ENGINE/FILE.csv" -> { leak_mm2, checked }. Engines whose files do not give bore, stroke and ratio count as refused.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { analyseTest } from '../../worker/cli/engine-test.ts';
import { reportFamilyLeak } from './family/family-leak.ts';
import { USUAL_PLAN } from './family/family-run.ts';
import { simulateLeakTest } from './leak-population.ts';
import { type LeakTest, type ScoredLeak, scoreLeaks, scoreOf } from './leak-score.ts';
import { tracesIn } from './traces-in.ts';
import { writeTable } from './write-table.ts';

/** A leak above this is larger than that of a sound cylinder, mm2. */
const FAULTY_MM2 = 0.9;

function testsIn(folder: string): LeakTest[] {
  const json = (name: string): unknown => JSON.parse(readFileSync(join(folder, name), 'utf8'));
  const truth = json('truth.json') as Record<string, { leak_mm2: number }>;
  return Object.keys(json('index.json') as object).map((id) => {
    const recorded = tracesIn(join(folder, id));
    const { engine, readings } = analyseTest(recorded, {}, {});
    const ambientKpa = recorded.find(({ header }) => header.ambientKpa !== undefined)?.header.ambientKpa;
    const cylinders = readings.map(({ cylinder, condition, file, reading }, i) => ({
      cylinder,
      condition,
      reading,
      trace: recorded[i]!.trace,
      leakMm2: truth[`${id}/${file}`]!.leak_mm2,
    }));
    return { id, engine, conditions: { ambientKpa }, cylinders };
  });
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`.padStart(8);

function line(name: string, leaks: readonly ScoredLeak[]): void {
  if (leaks.length === 0) return;
  const s = scoreOf(leaks);
  console.log(
    `  ${name.padEnd(24)}${String(s.cylinders).padStart(6)}${percent(s.refusedShare)}${percent(s.medianOff)}${percent(s.ninetiethOff)}${s.medianRatio.toFixed(3).padStart(8)}${percent(s.coverage)}`,
  );
}

function report(title: string, tests: readonly LeakTest[]): void {
  const started = performance.now();
  const leaks = tests.flatMap(scoreLeaks);
  const eachMs = (performance.now() - started) / leaks.length;
  console.log(
    `${title}: ${tests.length} engines, ${leaks.length} cylinders, ${eachMs.toFixed(1)} ms a cylinder`,
  );
  console.log(
    `  ${''.padEnd(24)}${'number'.padStart(6)}${'refused'.padStart(8)}${'median'.padStart(8)}${'9 of 10'.padStart(8)}${'ratio'.padStart(8)}${'holds'.padStart(8)}`,
  );
  line('all', leaks);
  const leaking = leaks.filter((one) => one.trueMm2 > FAULTY_MM2);
  line('leaking', leaking);
  for (const hose of ['open', 'check-valve'] as const) {
    line(
      `  ${hose}`,
      leaking.filter((one) => one.hose === hose),
    );
  }
  line(
    'sound',
    leaks.filter((one) => one.trueMm2 <= FAULTY_MM2),
  );
  if (values.write && positionals.length === 0) write(leaks);
  const wet = leaks.filter((one) => one.leftMm2 > 0 && one.trueLeftMm2 > 0);
  const off = wet.map((one) => Math.abs(one.leftMm2 - one.trueLeftMm2) / one.trueMm2).sort((a, b) => a - b);
  if (wet.length > 0) {
    console.log(
      `  left by oil, over the dry leak: median off ${percent(off[off.length >> 1]!).trim()}, ${wet.length} wet tests`,
    );
  }
  const reasons = new Map<string, number>();
  for (const { reason } of leaks) if (reason) reasons.set(reason, (reasons.get(reason) ?? 0) + 1);
  for (const [reason, count] of [...reasons].sort()) console.log(`  refused: ${reason.padEnd(20)} ${count}`);
  if (!values.each) return;
  for (const one of leaks) {
    const said =
      one.reason ?? `${one.leakMm2.toFixed(2)} (${one.lowMm2.toFixed(2)} to ${one.highMm2.toFixed(2)})`;
    console.log(`  ${one.id} cylinder ${one.cylinder}: ${one.trueMm2.toFixed(2)} -> ${said}`);
  }
}

function write(leaks: readonly ScoredLeak[]): void {
  const leaking = leaks.filter((one) => one.trueMm2 > FAULTY_MM2);
  const groups: [string, readonly ScoredLeak[]][] = [
    ['all cylinders', leaks],
    [`leaking over ${FAULTY_MM2} mm2`, leaking],
    ['of these, open hose', leaking.filter((one) => one.hose === 'open')],
    ['of these, check valve', leaking.filter((one) => one.hose === 'check-valve')],
    ['sound', leaks.filter((one) => one.trueMm2 <= FAULTY_MM2)],
  ];
  const rows = groups.map(([name, group]) => {
    const { cylinders, refusedShare, medianOff, ninetiethOff, coverage } = scoreOf(group);
    return [
      name,
      cylinders,
      ...[refusedShare, medianOff, ninetiethOff, coverage].map((one) => percent(one).trim()),
    ];
  });
  const command = `npm run leak -- --engines ${count()} --seed ${values.seed}`;
  const head = ['cylinders', 'number', 'refused', 'median error', '9 of 10 below', '80 % intervals hold'];
  for (const file of ['README.md', 'worker/core/leak/README.md'])
    writeTable(file, 'leak', command, head, rows);
}

/** Engines to simulate. */
function count(): number {
  return Number(values.engines ?? (values.models ? USUAL_PLAN.count : 200));
}

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: {
    engines: { type: 'string' },
    seed: { type: 'string', default: '200000' },
    models: { type: 'boolean', default: false },
    each: { type: 'boolean', default: false },
    write: { type: 'boolean', default: false },
  },
});
if (values.models) {
  const report = { count: count(), seed: Number(values.seed), write: values.write };
  process.exitCode = (await reportFamilyLeak(report)) ? 0 : 1;
} else if (positionals.length === 0) {
  const tests = Array.from({ length: count() }, (_, i) => simulateLeakTest(Number(values.seed) + i));
  report('simulated', tests);
} else for (const folder of positionals) report(folder, testsIn(folder));
