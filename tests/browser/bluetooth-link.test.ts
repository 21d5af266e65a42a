/** The link is lost while cranking and returns: received samples are kept, and the hole is shown as a gap. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { said } from '../support/app.ts';
import { type BluetoothBrowser, openBluetoothBrowser } from '../support/bluetooth-bench.ts';
import { indexOfRun, packetsOf, play, pressuresIn } from '../support/play.ts';
import { listenIn } from '../support/sound-recorder.ts';

const engine = makeEngine({ layout: presetLayout('inline', 1) });
const REST_S = 2.5;
/** An open hose shows every stroke, even those that no longer raise the level. */
const CRANKING = {
  engine,
  cylinder: 1,
  rig: OPEN_RIG,
  strokes: 22,
  restBeforeS: REST_S,
  restAfterS: 3.5,
} as const;
/** A moment in the middle of the cranking. */
const DROP_S = REST_S + 3.3;

let workshop: BluetoothBrowser;
beforeAll(async () => {
  workshop = await openBluetoothBrowser(inject('appUrl'));
});
afterAll(() => workshop?.close());

it('keeps the received samples when the link is lost while cranking, and shows the gap', async () => {
  const { app, page, peripheral, transducer } = await workshop.bench('packed');
  const overheard = await listenIn(page);
  await app.beginTest({ name: 'Lost link', cylinders: 1 });
  await app.connectSensor();
  await app.arm();
  const playing = play(peripheral, transducer.outlet, packetsOf(transducer, CRANKING));
  await playing.untilS(DROP_S);
  const countedBefore = await app.strokesCounted();
  expect(countedBefore).toBeGreaterThan(2);
  peripheral.dropLink();
  await page.getByText(said(en.connection.reconnecting)).first().waitFor();
  expect(await app.strokesCounted()).toBeGreaterThanOrEqual(countedBefore);
  await peripheral.untilSubscribed(transducer.outlet);
  const { sent, undelivered } = await playing.done;
  expect(undelivered.length).toBeGreaterThan(0);
  await app.phase(en.phase.done).waitFor({ timeout: 10_000 });

  await app.step('judge');
  await app.unfold(en.results.notices);
  await page.getByText(said(en.notice['samples-missing'])).first().waitFor();

  const [recording, ...others] = await app.downloadTraces();
  expect(others).toHaveLength(0);
  const { trace } = recording!;
  const lost = trace.gaps.filter((gap) => gap.reason === 'link-lost');
  expect(lost).toHaveLength(1);
  const { startS, endS } = lost[0]!;
  expect(endS - startS).toBeGreaterThan(0.3);
  expect(endS - startS).toBeLessThan(5);
  // The gap holds no samples; all samples received before and after it are stored in order.
  expect(trace.timeS.filter((timeS) => timeS > startS && timeS < endS)).toHaveLength(0);
  // The battery level notifies too, in single octets.
  const received = (await overheard()).filter((octets) => octets.length > 1);
  expect(received.length).toBeGreaterThan(0.95 * sent.length);
  const delivered = pressuresIn(
    received.map((bytes) => ({ bytes, dueS: 0 })),
    transducer.layout,
  );
  expect(indexOfRun(delivered, [...trace.pressureKpa])).toBeGreaterThanOrEqual(0);
});
