/** Recorded traces: opened as a test of their own, and replayed in place of a sensor. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { type SimulatedTrace, simulateTrace } from '../../simulator/simulate.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { RecordedTrace } from '../../worker/file/csv/trace-file.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { analyseOnCommandLine } from '../support/command-line.ts';

const engine = makeEngine({ layout: presetLayout('inline', 2), health: { 2: { valveMm2: 4 } } });

function record(cylinder: number, simulated: SimulatedTrace): RecordedTrace {
  const header = { cylinder, condition: 'dry', cycle: 4, geometry: {}, manual: {} } as const;
  return { fileName: `cylinder-${cylinder}.csv`, trace: simulated.trace, header };
}

const asUpload = ({ fileName, trace, header }: RecordedTrace) => ({
  name: fileName,
  mimeType: 'text/csv',
  buffer: Buffer.from(writeTraceCsv(trace, header)),
});

let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser();
  app = new App(await browser.open(), inject('appUrl'));
  await app.chooseUnit('kPa');
});
afterAll(() => browser?.close());

it('opens two recordings and judges them as the command line does', async () => {
  const recordings = [1, 2].map((cylinder) => record(cylinder, simulateTrace({ engine, cylinder })));
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, recordings.map(asUpload));
  await app.page.getByLabel(en.setup.name, { exact: true }).fill('From files');
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');

  const { readings, engine: judged } = await analyseOnCommandLine(recordings);
  expect(judged.verdict).toBe('fault');
  await app.page.getByText(en.verdict.fault).first().waitFor();
  const shownKpa = await app.finalsInTable();
  for (const [i, reading] of readings.entries()) {
    expect(Math.abs(shownKpa[i]! / reading.finalKpa! - 1)).toBeLessThan(0.001);
  }
});

it('plays a recording through the live capture', async () => {
  const recording = record(1, simulateTrace({ engine, cylinder: 1, restBeforeS: 3, restAfterS: 5 }));
  await app.beginTest({ name: 'Played back', cylinders: 1 });
  await app.page.getByRole('radio', { name: en.crank.sourceFile }).check();
  await app.chooseFiles(en.crank.chooseFile, [asUpload(recording)]);
  await app.page.getByRole('radio', { name: '5×' }).check();
  await app.button(en.crank.playRecording).click();
  await app.phase(en.phase.done).waitFor({ timeout: 15_000 });
  const { readings } = await analyseOnCommandLine([recording]);
  await app.step('judge');
  const [shownKpa] = await app.finalsInTable();
  expect(Math.abs(shownKpa! / readings[0]!.finalKpa! - 1)).toBeLessThan(0.001);
});
