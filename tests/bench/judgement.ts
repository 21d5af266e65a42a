/**
 * How good the judgement is: `npm run judgement -- [FOLDER] [--misses]`.
 *
 * FOLDER holds one folder of trace CSV files for each engine and an `index.json`: engine -> { kind, bad }, with `kind` a cause or
 * `sound` and `bad` the cylinders. Every engine goes the way of the command line: CSV, reading, judgement.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { analyseTest } from '../../worker/cli/engine-test.ts';
import { parseTraceCsv } from '../../worker/file/csv.ts';
import type { RecordedTrace } from '../../worker/file/trace-file.ts';
import { isRight, type JudgedEngine, reliability, rightByKind, scoreOf } from './judgement-score.ts';

interface IndexEntry {
  readonly kind: string;
  readonly bad: readonly number[];
}

function tracesIn(folder: string): RecordedTrace[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith('.csv'))
    .sort()
    .flatMap((name) => {
      const outcome = parseTraceCsv(readFileSync(join(folder, name), 'utf8'), name);
      if (!outcome.ok) throw new Error(`${folder}/${name}: ${outcome.problem.detail}`);
      return outcome.traces;
    });
}

function judgeFolder(folder: string): JudgedEngine[] {
  const index = JSON.parse(readFileSync(join(folder, 'index.json'), 'utf8')) as Record<string, IndexEntry>;
  return Object.entries(index).map(([id, { kind, bad }]) => ({
    id,
    kind,
    bad,
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
  console.log('  confidence said   was true   suspects');
  for (const row of reliability(engines)) {
    console.log(
      `  ${percent(row.meanConfidence).padStart(15)} ${percent(row.shareTrue).padStart(10)} ${String(row.count).padStart(10)}`,
    );
  }
  if (!misses) return;
  for (const one of engines.filter((engine) => !isRight(engine))) {
    const named = one.judgement.suspects.map(
      ({ cause, cylinders, confidence }) => `${cause} ${cylinders.join('+')} ${percent(confidence)}`,
    );
    console.log(
      `  miss ${one.id}: ${one.kind} ${one.bad.join('+')} -> ${one.judgement.verdict}; ${named.join(', ') || 'no suspect'}`,
    );
  }
}

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: { misses: { type: 'boolean', default: false } },
});
for (const folder of positionals) report(folder, judgeFolder(folder), values.misses);
