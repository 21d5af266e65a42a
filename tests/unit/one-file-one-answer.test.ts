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
import { analyseTest } from '../../worker/cli/engine-test.ts';
import { defaultRule } from '../../worker/core/judge/rules.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { Hose } from '../../worker/core/trace.ts';
import { parseTraceCsv, writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { RecordedTrace, TraceHeader } from '../../worker/file/csv/trace-file.ts';
import { captureWorld } from '../support/capture-world.ts';
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
  const inApp = resource.value.value;
  const onCommandLine = analyseTest(recorded, {}, {});
  expect(inApp.takes.map(({ reading }) => reading)).toEqual(
    onCommandLine.readings.map(({ reading }) => reading),
  );
  expect(inApp.judgement).toEqual(onCommandLine.judgement);
});
