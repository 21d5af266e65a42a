/** The emulated radio by itself, from a page without the app: the other Bluetooth tests depend on it. */

import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CHARACTERISTICS, DESCRIPTORS, SERVICES } from '../../worker/wire/uuids.ts';
import { answerChooser, launchBrowser, type TestBrowser } from '../support/browser.ts';
import { EmulatedBluetooth, type EmulatedPeripheral } from '../support/emulated-bluetooth.ts';

const NAME = 'Bench counter';
const counter = CHARACTERISTICS.pressure;

/** The page's counts of received 32-bit numbers, which should be consecutive. */
interface Tally {
  count: number;
  breaks: number;
  last: number;
  lost: number;
}

let air: EmulatedBluetooth;
let peripheral: EmulatedPeripheral;
let browser: TestBrowser;
let page: Page;

const uint32 = (value: number) => {
  const view = new DataView(new ArrayBuffer(4));
  view.setUint32(0, value, true);
  return new Uint8Array(view.buffer);
};

/** Runs in the page. */
async function connectAndCount(uuids: {
  service: string;
  characteristic: string;
  descriptor: string;
  name: string;
}) {
  const tally: Tally = { count: 0, breaks: 0, last: -1, lost: 0 };
  const device =
    (window as { bench?: { device: BluetoothDevice } }).bench?.device ??
    (await navigator.bluetooth.requestDevice({ filters: [{ services: [uuids.service] }] }));
  Object.assign(window, { bench: { device, tally } });
  device.addEventListener('gattserverdisconnected', () => tally.lost++, { once: true });
  const server = await device.gatt!.connect();
  const service = await server.getPrimaryService(uuids.service);
  const characteristic = await service.getCharacteristic(uuids.characteristic);
  const descriptor = await characteristic.getDescriptor(uuids.descriptor);
  const format = await descriptor.readValue();
  const value = await characteristic.readValue();
  characteristic.addEventListener('characteristicvaluechanged', () => {
    const now = characteristic.value!.getUint32(0, true);
    if (now !== tally.last + 1) tally.breaks++;
    tally.last = now;
    tally.count++;
  });
  await characteristic.startNotifications();
  return { name: device.name, format: [...new Uint8Array(format.buffer)], value: value.getUint32(0, true) };
}

const readTally = () =>
  page.evaluate(() => ({ ...(window as unknown as { bench: { tally: Tally } }).bench.tally }));

const connect = () =>
  page.evaluate(connectAndCount, {
    service: SERVICES.environmentalSensing,
    characteristic: counter,
    descriptor: DESCRIPTORS.presentationFormat,
    name: NAME,
  });

/** Counts from 0 at this rate, by the clock and not by the timer. */
async function send(total: number, perSecond: number): Promise<void> {
  const startMs = performance.now();
  for (let sent = 0; sent < total; ) {
    const due = Math.min(total, Math.ceil(((performance.now() - startMs) / 1000) * perSecond));
    while (sent < due) peripheral.notify(counter, uint32(sent++));
    await new Promise((resolve) => setTimeout(resolve, 1));
  }
}

beforeAll(async () => {
  air = await EmulatedBluetooth.start();
  peripheral = air.advertise({
    address: 'C0:FF:EE:00:00:01',
    name: NAME,
    advertised: [SERVICES.environmentalSensing],
    services: [
      {
        uuid: SERVICES.environmentalSensing,
        characteristics: [
          {
            uuid: counter,
            flags: ['read', 'notify'],
            value: uint32(1_013_250),
            descriptors: [
              { uuid: DESCRIPTORS.presentationFormat, value: Uint8Array.of(0x08, 0xff, 0x24, 0x27, 1, 0, 0) },
            ],
          },
        ],
      },
    ],
  });
  browser = await launchBrowser({ busAddress: air.busAddress });
  page = await browser.open();
  await answerChooser(page, NAME);
  // An empty page on localhost, where the browser allows Bluetooth; it has no server.
  await page.route('http://localhost/', (route) => route.fulfill({ contentType: 'text/html', body: '<p>' }));
  await page.goto('http://localhost/');
});

afterAll(async () => {
  await browser?.close();
  await air?.stop();
});

describe('the emulated radio', () => {
  it('is chosen, connected, read and listened to', async () => {
    expect(await connect()).toEqual({
      name: NAME,
      format: [0x08, 0xff, 0x24, 0x27, 1, 0, 0],
      value: 1_013_250,
    });
    expect(peripheral.isSubscribed(counter)).toBe(true);
  });

  it('delivers 1000 notifications a second, each once and in order', async () => {
    await send(3000, 1000);
    await expect.poll(readTally, { timeout: 5000 }).toMatchObject({ count: 3000, breaks: 0, last: 2999 });
  });

  it('drops the link and accepts a new one', async () => {
    peripheral.dropLink();
    await expect.poll(readTally).toMatchObject({ lost: 1 });
    expect(peripheral.notify(counter, uint32(0))).toBe(false);
    await connect();
    await send(100, 1000);
    await expect.poll(readTally).toMatchObject({ count: 100, breaks: 0, lost: 0 });
  });

  it('refuses a connection', async () => {
    peripheral.dropLink();
    // Until the page has seen the loss, `connect` returns the old link.
    await expect.poll(readTally).toMatchObject({ lost: 1 });
    peripheral.refuse('le-connection-abort-by-local');
    await expect(connect()).rejects.toThrow(/NetworkError/);
    peripheral.refuse(null);
    await expect(connect()).resolves.toMatchObject({ name: NAME });
  });
});
