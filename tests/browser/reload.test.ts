/** The page is reloaded while cranking: the captured samples are recovered. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { said } from '../support/app.ts';
import { type BluetoothBrowser, openBluetoothBrowser } from '../support/bluetooth-bench.ts';
import { indexOfRun, packetsOf, play, pressuresIn } from '../support/play.ts';

const engine = makeEngine({ layout: presetLayout('inline', 1) });
const CRANKING = { engine, cylinder: 1, rig: OPEN_RIG, strokes: 20, restBeforeS: 2.5 } as const;
const RELOAD_S = 6;
/** Longest time from the samples of a chunk to their storage. */
const CHUNK_S = 0.3;

let workshop: BluetoothBrowser;
beforeAll(async () => {
  workshop = await openBluetoothBrowser(inject('appUrl'));
});
afterAll(() => workshop?.close());

it('recovers the captured samples when the page is reloaded while cranking', async () => {
  const { app, page, peripheral, transducer } = await workshop.calmBench('packed');
  await app.beginTest({ name: 'Reloaded', cylinders: 1 });
  await app.connectSensor();
  await app.arm();
  const playing = play(peripheral, transducer.outlet, packetsOf(transducer, CRANKING));
  await playing.untilS(RELOAD_S);
  await page.reload();
  playing.stop();
  const { sent } = await playing.done;

  // The page reopens at the engine and offers the take there.
  const offer = page.getByText(said(en.engines.unfinished));
  await offer.waitFor();
  await app.button(en.engines.keepIt).click();
  await offer.waitFor({ state: 'detached' });
  await app.phase(en.phase.done).waitFor();
  const [recording] = await app.downloadTraces();
  const { trace } = recording!;
  expect(trace.gaps).toEqual([]);
  const delivered = pressuresIn(sent, transducer.layout);
  const stored = [...trace.pressureKpa];
  const from = indexOfRun(delivered, stored);
  expect(from).toBeGreaterThanOrEqual(0);
  const beforeReload = sent.filter(({ dueS }) => dueS < RELOAD_S);
  const missing = pressuresIn(beforeReload, transducer.layout).length - (from + stored.length);
  expect(missing).toBeLessThan(CHUNK_S * 1000);
});
