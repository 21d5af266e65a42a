/** The thin layer over the browser's own Bluetooth, with fakes for the browser's objects. */
import { describe, expect, it } from 'vitest';
import { createWebGatt } from '../../src/sources/bluetooth/web-gatt.ts';

class StandInCharacteristic extends EventTarget {
  readonly uuid = 'c';
  readonly properties = { notify: true, indicate: false, read: true };
  readonly log: string[] = [];
  value: DataView | undefined;
  startFails = false;

  async startNotifications() {
    this.log.push('start');
    this.notify(1, 2);
    if (this.startFails) throw new DOMException('GATT operation failed.', 'NetworkError');
    return this;
  }

  async stopNotifications() {
    this.log.push('stop');
    throw new DOMException('GATT Server is disconnected.', 'NetworkError');
  }

  async readValue() {
    return shared(7, 8);
  }

  async getDescriptor(uuid: string) {
    if (uuid === 'locked') throw new DOMException('Not permitted.', 'SecurityError');
    if (uuid !== 'd') throw new DOMException('No Descriptors matching UUID found.', 'NotFoundError');
    return { readValue: async () => shared(9) };
  }

  /** Sets `value` and fires the event as the browser does; the bytes lie inside a larger buffer that may be reused. */
  notify(...octets: number[]) {
    this.value = shared(...octets);
    this.dispatchEvent(new Event('characteristicvaluechanged'));
  }
}

function shared(...octets: number[]): DataView {
  const buffer = Uint8Array.of(0xee, 0xee, ...octets, 0xee).buffer;
  return new DataView(buffer, 2, octets.length);
}

const octetsOf = (view: DataView): number[] =>
  Array.from({ length: view.byteLength }, (_, i) => view.getUint8(i));

async function connectedFake() {
  const characteristic = new StandInCharacteristic();
  const asked: RequestDeviceOptions[] = [];
  const gatt = {
    connected: false,
    connect: async () => {
      gatt.connected = true;
    },
    disconnect: () => {
      gatt.connected = false;
    },
    getPrimaryServices: async () => [{ uuid: 's', getCharacteristics: async () => [characteristic] }],
  };
  const browserDevice = Object.assign(new EventTarget(), { name: 'Stand-in', gatt });
  const bluetooth = {
    requestDevice: async (options: RequestDeviceOptions) => {
      asked.push(options);
      return browserDevice;
    },
  };
  const port = createWebGatt(bluetooth as unknown as Bluetooth);
  if (port === undefined) expect.fail('there is Bluetooth');
  const device = await port.choose({ announced: ['a', 'b'], services: ['a', 'b', 'c'] });
  const found = (await (await device.services())[0]?.characteristics())?.[0];
  if (found === undefined) expect.fail('there is a characteristic');
  return { port, asked, browserDevice, device, characteristic, found };
}

describe('Web Bluetooth', () => {
  it('is `undefined` in a browser without it', () => {
    expect(createWebGatt(undefined)).toBeUndefined();
  });

  it('filters by any of the announced services, or shows all', async () => {
    const { port, asked } = await connectedFake();
    await port.choose({ announced: [], services: ['c'] });
    expect(asked).toEqual([
      { filters: [{ services: ['a'] }, { services: ['b'] }], optionalServices: ['a', 'b', 'c'] },
      { acceptAllDevices: true, optionalServices: ['c'] },
    ]);
  });

  it('delivers notifications from before the subscription is confirmed, as copies', async () => {
    const { characteristic, found } = await connectedFake();
    const received: DataView[] = [];
    await found.subscribe((bytes) => received.push(bytes));
    characteristic.notify(3, 4, 5);
    new Uint8Array(characteristic.value?.buffer ?? new ArrayBuffer(0)).fill(0);
    expect(received.map(octetsOf)).toEqual([
      [1, 2],
      [3, 4, 5],
    ]);
    expect(received.map((view) => view.byteOffset)).toEqual([0, 0]);
  });

  it('stops without an error, also on a lost link', async () => {
    const { characteristic, found } = await connectedFake();
    const received: DataView[] = [];
    const stop = await found.subscribe((bytes) => received.push(bytes));
    expect(stop).not.toThrow();
    await Promise.resolve();
    characteristic.notify(9);
    expect(received).toHaveLength(1);
    expect(characteristic.log).toEqual(['start', 'stop']);
  });

  it('removes its listener when the subscription fails', async () => {
    const { characteristic, found } = await connectedFake();
    characteristic.startFails = true;
    const received: DataView[] = [];
    await expect(found.subscribe((bytes) => received.push(bytes))).rejects.toMatchObject({
      name: 'NetworkError',
    });
    characteristic.notify(9);
    expect(received).toHaveLength(1);
  });

  it('distinguishes a missing descriptor from a locked one', async () => {
    const { found } = await connectedFake();
    expect(await found.readDescriptor('none')).toBeUndefined();
    await expect(found.readDescriptor('locked')).rejects.toMatchObject({ name: 'SecurityError' });
    const there = await found.readDescriptor('d');
    expect(there && octetsOf(there)).toEqual([9]);
    expect(octetsOf(await found.read())).toEqual([7, 8]);
  });

  it('reports a lost link until unsubscribed', async () => {
    const { device, browserDevice } = await connectedFake();
    let lost = 0;
    const stop = device.onDisconnected(() => lost++);
    browserDevice.dispatchEvent(new Event('gattserverdisconnected'));
    stop();
    browserDevice.dispatchEvent(new Event('gattserverdisconnected'));
    expect(lost).toBe(1);
    await device.connect();
    expect(device.connected()).toBe(true);
    device.disconnect();
    expect(device.connected()).toBe(false);
  });
});
