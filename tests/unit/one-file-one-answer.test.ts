/** The same files opened in the app and given to the command line give the same analysis, figure by figure. */
import { expect, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { rigFor } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { newEngine, newTest } from '../../src/screens/compression-test/new-records.ts';
import { factsOf } from '../../src/screens/engine/engine-form.ts';
import {
  ambientIn,
  assignmentsFor,
  factsIn,
  formFor,
} from '../../src/screens/recordings/recording-engine.ts';
import { createAnalysis } from '../../worker/analysis.ts';
import { analysisJson } from '../../worker/cli/analysis-json.ts';
import { analyseTest } from '../../worker/cli/engine-test.ts';
import { run } from '../../worker/cli/run.ts';
import { defaultRule } from '../../worker/core/judge/rules.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { Hose } from '../../worker/core/trace.ts';
import type { ColumnMapping } from '../../worker/file/columns/column-mapping.ts';
import { writeMapping } from '../../worker/file/columns/mapping-file.ts';
import { parseTraceCsv, writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { RecordedTrace, TraceHeader } from '../../worker/file/csv/trace-file.ts';
import { captureWorld } from '../support/capture-world.ts';
import type { AnalysisJson } from '../support/command-line.ts';
import { settle } from '../support/test-store.ts';

const engine = makeEngine({ layout: presetLayout('inline', 4), health: { 3: { valveMm2: 4 } } });

/** Four cylinders as files, parsed. */
function files(hose: Hose, more: Partial<TraceHeader>): RecordedTrace[] {
  return [1, 2, 3, 4].flatMap((cylinder) => {
    const { trace } = simulateTrace({
      engine,
      cylinder,
      rig: rigFor(hose),
      ambientKpa: more.ambientKpa ?? 101.325,
    });
    const header: TraceHeader = { cylinder, condition: 'dry', geometry: {}, manual: {}, ...more };
    const outcome = parseTraceCsv(writeTraceCsv(trace, header), `c${cylinder}.csv`);
    if (!outcome.ok) throw new Error(outcome.problem.detail);
    return outcome.traces;
  });
}

it.each<[string, Hose, Partial<TraceHeader>]>([
  ['without a header', 'check-valve', {}],
  [
    'with the barometer and the geometry',
    'open',
    { ambientKpa: 85.2, geometry: { boreMm: 84, strokeMm: 90, compressionRatio: 9.5 } },
  ],
  ['with hose, zero and range', 'check-valve', { hose: 'check-valve', zeroKpa: 2.5, sensorMaxKpa: 1600 }],
  [
    'of a diesel with a manual',
    'open',
    { fuel: 'diesel', manual: { minKpa: 900, maxKpa: 1500.55, spreadKpa: 111.1 } },
  ],
])('%s', async (_, hose, more) => {
  const recorded = files(hose, more);
  const inApp = await openedInApp(recorded);
  const onCommandLine = analyseTest(recorded, {}, {});
  expect(inApp.takes.map(({ reading }) => reading)).toEqual(
    onCommandLine.readings.map(({ reading }) => reading),
  );
  expect(inApp.judgement).toEqual(onCommandLine.judgement);
});

it('without a header row, in volts, with a column mapping', async () => {
  const recorded = files('open', {});
  const length = Math.min(...recorded.map(({ trace }) => trace.timeS.length));
  const text = Array.from({ length }, (_, i) =>
    [i * 5, ...recorded.map(({ trace }) => (0.5 + trace.pressureKpa[i]! / 500).toFixed(4))].join(';'),
  ).join('\n');
  const points = [
    { reading: 0.5, pressure: 0 },
    { reading: 4.5, pressure: 2000 },
  ] as const;
  const mapping: ColumnMapping = {
    format: 'strokebook-columns',
    version: 1,
    shape: { separator: ';', columns: 5 },
    time: { column: 1, unit: 'ms' },
    pressures: [4, 3, 2, 1].map((cylinder, i) => ({
      column: i + 2,
      cylinder,
      unit: 'kPa',
      points,
      reference: 'gauge',
    })),
  };
  const parsed = await createAnalysis().parseCsv(text, 'bench.csv', [mapping]);
  if (!parsed.ok) throw new Error(parsed.problem.detail);
  const inApp = await openedInApp(parsed.traces);

  const texts: Readonly<Record<string, string>> = {
    'bench.csv': text,
    'volts.columns.json': writeMapping(mapping),
  };
  const command = ['--json', '--columns', 'volts.columns.json', 'bench.csv'];
  const { status, out, err } = await run(command, (file) => ({ text: texts[file] ?? '' }));
  expect([status, err]).toEqual([0, '']);
  const onCommandLine = JSON.parse(out) as AnalysisJson;
  expect(onCommandLine.readings.map(({ cylinder }) => cylinder)).toEqual([4, 3, 2, 1]);
  const analysed = analyseTest(parsed.traces, {}, {});
  expect(onCommandLine).toEqual(JSON.parse(JSON.stringify(analysisJson(analysed, []))));
  expect(inApp.takes.map(({ reading }) => reading)).toEqual(analysed.readings.map(({ reading }) => reading));
  expect(inApp.judgement).toEqual(analysed.judgement);
  expect(inApp.judgement?.verdict).toBe('fault');
});

/** The test that the app makes of these recordings. */
async function openedInApp(recorded: readonly RecordedTrace[]) {
  const facts = factsOf(formFor(recorded, 'psi'), 'psi', factsIn(recorded));
  const record = newEngine('Files', facts!, 'recording');
  const made = newTest(record, defaultRule(record.facts), 'recording');
  const test = { ...made, conditions: { ...made.conditions, ambientKpa: ambientIn(recorded) } };
  const world = await captureWorld();
  await world.store.saveEngine(record);
  await world.store.saveTest(test);
  for (const [i, { cylinder, condition }] of assignmentsFor(recorded).entries()) {
    if (condition !== 'leave-out')
      await world.library.addRecorded(test, Number(cylinder), condition, recorded[i]!);
  }
  const resource = world.library.test(test.id);
  await settle();
  await settle();
  if (resource.value.state !== 'ready') throw new Error(resource.value.state);
  return resource.value.value;
}
