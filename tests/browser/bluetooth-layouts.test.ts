/** Every supported packet layout, through the browser's own Bluetooth, compared with the command line. */
import { afterAll, beforeAll, describe, expect, inject, it, vi } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { toKpa } from '../../worker/core/units.ts';
import { App } from '../support/app.ts';
import { type BluetoothBrowser, openBluetoothBrowser } from '../support/bluetooth-bench.ts';
import { answerChooser } from '../support/browser.ts';
import { analyseOnCommandLine } from '../support/command-line.ts';
import { indexOfRun, packetsOf, play, pressuresIn } from '../support/play.ts';
import { BATTERY_PERCENT, makeTransducer, TRANSDUCER_KINDS } from '../support/transducer.ts';

const engine = makeEngine({ layout: presetLayout('inline', 1) });
/** Rest for the zero and the key, seven strokes, and rest to check that the hose holds. */
const CRANKING = {
  engine,
  cylinder: 1,
  strokes: 7,
  restBeforeS: 2.5,
  restAfterS: 3.5,
  pressureReleaseForS: 2,
} as const;

let workshop: BluetoothBrowser;
beforeAll(async () => {
  workshop = await openBluetoothBrowser(inject('appUrl'));
});
afterAll(() => workshop?.close());

describe('a transducer gives the same reading in the app and on the command line', () => {
  // All at once: each takes the real time of the cranking, and has a page and storage of its own.
  it.concurrent.each(TRANSDUCER_KINDS)('%s', async (kind) => {
    const { app, page, peripheral, transducer } = await workshop.bench(kind);
    await app.chooseUnit('kPa');
    await app.beginTest({ name: kind, cylinders: 1 });
    await app.connectSensor();
    await peripheral.untilSubscribed(transducer.outlet);
    await app.arm();
    const { sent, undelivered } = await play(peripheral, transducer.outlet, packetsOf(transducer, CRANKING))
      .done;
    expect(undelivered).toHaveLength(0);
    await app.phase(en.phase.done).waitFor({ timeout: 10_000 });
    expect(await app.sensorLine.textContent()).toContain(`${BATTERY_PERCENT}`);
    const shownKpa = await app.figureNow();
    const counted = await app.strokesCounted();
    // A tight check valve does not show the last strokes, which no longer raise its level.
    expect(counted).toBeGreaterThanOrEqual(4);

    const [recording, ...others] = await app.downloadTraces();
    expect(others).toHaveLength(0);
    // The stored samples are those sent, without a hole.
    const delivered = pressuresIn(sent, transducer.layout);
    const stored = [...recording!.trace.pressureKpa];
    expect(stored.length).toBeGreaterThan(0.6 * delivered.length);
    expect(indexOfRun(delivered, stored)).toBeGreaterThanOrEqual(0);
    // Without a device clock, packets that a busy machine sends late look like a silent sensor.
    if (kind === 'packed') expect(recording!.trace.gaps).toEqual([]);

    const { readings } = await analyseOnCommandLine([recording!]);
    const finalKpa = readings[0]!.finalKpa!;
    expect(readings[0]!.strokes).toHaveLength(counted);
    expect(Math.abs(shownKpa / finalKpa - 1)).toBeLessThan(0.001);
    await page.close();
  });
});

/** A private service and characteristic, not advertised. */
const UNHEARD_SERVICE = 'c0a1b2d3-0000-4e5f-8a9b-0c1d2e3f4a5b';

const layoutFile = (characteristic: string) => ({
  name: 'bench.json',
  mimeType: 'application/json',
  buffer: Buffer.from(
    JSON.stringify({
      format: 'strokebook-layout',
      version: 1,
      name: 'Bench logger',
      service: UNHEARD_SERVICE,
      characteristic,
      samples: { type: 'sint16', offset: 0 },
      pressure: { unit: 'psi', scale: 0.1 },
    }),
  ),
});

describe('a transducer that advertises no services is read once the user has named its service', () => {
  it.concurrent.each([
    ['its service named, describing itself', true],
    ['a layout file, describing nothing', false],
  ] as const)('%s', async (_, describesItself) => {
    const transducer = makeTransducer('described', describesItself ? 101 : 102);
    const { outlet, layout, profile } = transducer;
    const [pressure, ...others] = profile.services;
    const characteristics = pressure!.characteristics.map((one) =>
      describesItself ? one : { ...one, descriptors: [] },
    );
    const peripheral = workshop.air.advertise({
      ...profile,
      advertised: [],
      services: [{ uuid: UNHEARD_SERVICE, characteristics }, ...others],
    });
    const page = await workshop.browser.open();
    const app = new App(page, inject('appUrl'));
    await answerChooser(page, profile.name);

    await app.goTo('/sensor');
    await page.getByLabel(en.sensor.anyDevice).check();
    if (describesItself) await page.getByLabel(en.sensor.service, { exact: true }).fill(UNHEARD_SERVICE);
    else {
      await app.chooseFiles(en.sensor.openLayout, [layoutFile(outlet)]);
      await page.getByText('Bench logger').waitFor();
    }
    // The layout is stored: it still applies after a reload.
    await page.reload();
    await app.button(en.sensor.connect).click();
    await peripheral.untilSubscribed(outlet);
    const { sent } = await play(
      peripheral,
      outlet,
      packetsOf(transducer, { ...CRANKING, strokes: 2, restAfterS: 1 }),
    ).done;
    const now = page.getByRole('region', { name: en.sensor.live }).getByText(/^\S+ psi$/);
    const lastPsi = pressuresIn(sent, layout).at(-1)! / toKpa(1, 'psi');
    await vi.waitFor(async () => {
      const shown = Number((await now.textContent())?.replace(/[^\d.-]/g, ''));
      expect(Math.abs(shown - lastPsi)).toBeLessThan(1);
    }, 5000);
    await page.close();
  });
});
