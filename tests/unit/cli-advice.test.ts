/** Advice and remarks of the command line, from files as a logger writes them. */
import { expect, test } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { withFault } from '../../simulator/faults.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { run } from '../../worker/cli/run.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { Condition } from '../../worker/core/trace.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { english } from '../../worker/words/english.ts';

const layout = presetLayout('vee', 6);
const engine = withFault(makeEngine({ layout }), 'worn-rings', [5, 6], 0.6);

/** `named`: whether the file names its cylinder. */
function file(cylinder: number, condition: Condition, named = true): string {
  const { trace } = simulateTrace({ engine, cylinder, condition, seed: cylinder });
  const header = { ...(named && { cylinder }), condition, engine: 'Tired V6', geometry: {}, manual: {} };
  return writeTraceCsv(trace, header);
}

async function analysed(files: Readonly<Record<string, string>>, ...options: string[]): Promise<string> {
  const { status, out, err } = await run([...options, ...Object.keys(files)], (name) => ({
    text: files[name]!,
  }));
  expect([status, err]).toEqual([0, '']);
  return out;
}

test('oil is not advised again for a cylinder that had it', async () => {
  const dry = Object.fromEntries([1, 2, 3, 4, 5, 6].map((n) => [`d${n}.csv`, file(n, 'dry')]));
  expect(await analysed(dry)).toContain('Test again wet, cylinders 5 and 6. ');
  const out = await analysed({ ...dry, 'w5.csv': file(5, 'wet') });
  const advice = out.split('\n').filter((line) => line.includes('Test again wet'));
  expect(advice.length).toBeGreaterThan(0);
  for (const line of advice) expect(line).toContain('Test again wet, cylinder 6. ');
});

test('traces that name no cylinder are numbered by their place, with a remark', async () => {
  const out = await analysed({ 'first.csv': file(5, 'dry', false), 'second.csv': file(6, 'dry', false) });
  expect(out).toMatch(/No cylinder is named for first\.csv as 1, second\.csv as 2/);
  expect(await analysed({ 'first.csv': file(5, 'dry'), 'second.csv': file(6, 'dry') })).not.toContain(
    'No cylinder is named',
  );
});

test('pressures are converted in sentences, and file names are left as they are', async () => {
  const out = await analysed({ 'c5 900 kPa.csv': file(5, 'dry') }, '--unit', 'psi');
  expect(out).toContain('c5 900 kPa.csv');
  expect(out).not.toMatch(/\d kPa(?!\.csv)/);
});

test('causes and rules are named as the app names them', async () => {
  const files = Object.fromEntries([1, 2, 3, 4, 5, 6].map((n) => [`d${n}.csv`, file(n, 'dry')]));
  const out = await analysed(files);
  expect(out).toContain(english.rule['percent-of-highest'].name);
  expect(out).toContain(`  alike:   ${english.readsAlike['ring-wear']}`);
  expect(out).toMatch(new RegExp(`Suspect: (${Object.values(english.cause).join('|')}), cylinder`));
});
