/** A simulated Bluetooth sensor with 1000 samples a second: how soon they are drawn, and how long the page is ever busy. */
import { makeEngine } from '../../../simulator/engine.ts';
import { OPEN_RIG } from '../../../simulator/rig.ts';
import { presetLayout } from '../../../worker/core/layouts.ts';
import { openBluetoothBrowser } from '../../support/bluetooth-bench.ts';
import { traceMainThread } from '../../support/main-thread.ts';
import { packetsOf, play } from '../../support/play.ts';
import { atLeast, atMost, type Figure } from '../speed/figure.ts';
import { slowDown } from './trace.ts';

const RATE_HZ = 1000;
const engine = makeEngine({ layout: presetLayout('inline', 1) });
const CRANKING = { engine, cylinder: 1, rig: OPEN_RIG, restBeforeS: 4, crankS: 15, restAfterS: 5 } as const;
/** The smallest Bluetooth payload, for the most packets per second. */
const LINK = { attMtu: 23 };
/** Samples still under way when the last packet is sent. */
const SETTLE_MS = 1500;
const LONG_TASK_MS = 50;

/** The page's main thread is slowed down; its workers are not. */
export async function fastSensor(url: string): Promise<Figure[]> {
  const workshop = await openBluetoothBrowser(url);
  try {
    const { app, page, peripheral, transducer } = await workshop.bench('packed');
    const packets = packetsOf(transducer, { ...CRANKING, sensor: { rateHz: RATE_HZ } }, LINK);
    await app.beginTest({ name: 'Fast sensor', cylinders: 1 });
    await app.connectSensor();
    await app.arm();
    const endTrace = await traceMainThread(page);
    await slowDown(page);
    const { undelivered } = await play(peripheral, transducer.outlet, packets).done;
    await page.waitForTimeout(SETTLE_MS);
    const tasks = await endTrace();
    const { arrivedCount, latencyHistogram } = await app.meters();
    const drawnSoon = latencyHistogram.slice(0, 10).reduce((sum, count) => sum + count, 0);
    const [longest] = tasks;
    return [
      atMost('packets not delivered', undelivered.length, 0, '', 0),
      atLeast('samples arrived', arrivedCount, 24 * RATE_HZ * 0.99, ''),
      atLeast('drawn within 100 ms of arrival', (100 * drawnSoon) / arrivedCount, 99, '%', 2),
      atMost('longest task, computing time', longest?.cpuMs ?? Number.NaN, LONG_TASK_MS, 'ms', 1),
    ];
  } finally {
    await workshop.close();
  }
}
