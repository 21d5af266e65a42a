import { describe, expect, it } from 'vitest';
import { browserClock } from '../../src/platform/clock.ts';
import { discover, findPressure } from '../../src/sources/bluetooth/find-pressure.ts';
import { createGattQueue } from '../../src/sources/bluetooth/gatt-queue.ts';
import { type BluetoothSettings, chooserRequest } from '../../src/sources/bluetooth/settings.ts';
import { parseCustomLayout } from '../../worker/wire/custom-layout.ts';
import { encodePresentationFormat, UNITS } from '../../worker/wire/presentation-format.ts';
import { CHARACTERISTICS, DESCRIPTORS, longUuid, SERVICES } from '../../worker/wire/uuids.ts';
import { type FakeService, FakeTransducer } from '../support/fake-gatt.ts';
import {
  BATTERY,
  DESCRIBED,
  ENVIRONMENTAL,
  PACKED,
  TEXT,
  UNKNOWN_UUID,
} from '../support/fake-transducers.ts';

async function find(
  services: readonly FakeService[],
  settings: BluetoothSettings = {},
  prepare?: (d: FakeTransducer) => void,
) {
  const device = new FakeTransducer(services, 0);
  await device.connect();
  prepare?.(device);
  const queue = createGattQueue(browserClock);
  return findPressure(await discover(device, queue), settings, queue);
}

const describedAs = (format: number, unit: number) => ({
  [DESCRIPTORS.presentationFormat]: encodePresentationFormat({
    format,
    exponent: 0,
    unit,
    namespace: 1,
    description: 0,
  }),
});

describe('the pressure characteristic', () => {
  it('is the packed stream first, then a self-described one, then the standard one, then text', async () => {
    const all = [...TEXT.services, ...ENVIRONMENTAL.services, ...DESCRIBED.services, ...PACKED.services];
    expect((await find(all)).layout.kind).toBe('packed');
    expect((await find(all.slice(0, 9))).layout.kind).toBe('described');
    expect((await find(all.slice(0, 6))).layout.kind).toBe('environmental');
    expect((await find(all.slice(0, 3))).layout.kind).toBe('text');
  });

  it('is not one that describes itself as something else', async () => {
    const service = {
      uuid: SERVICES.environmentalSensing,
      characteristics: [{ uuid: longUuid(0x2a6e), notifies: true, descriptors: describedAs(0x0e, 0x272f) }],
    };
    await expect(find([service, BATTERY])).rejects.toMatchObject({ code: 'unknown-layout' });
    expect((await find([service, ...DESCRIBED.services])).layout.kind).toBe('described');
  });

  it('is not a battery, nor one that cannot notify', async () => {
    await expect(find([BATTERY])).rejects.toMatchObject({ code: 'no-pressure-service' });
    const mute = {
      uuid: SERVICES.environmentalSensing,
      characteristics: [{ uuid: CHARACTERISTICS.pressure, value: Uint8Array.of(0, 0, 0, 0) }],
    };
    await expect(find([mute])).rejects.toMatchObject({ code: 'no-pressure-service' });
  });

  it('is the characteristic that the user named, as text if it does not describe itself', async () => {
    const plain = {
      uuid: 'a3d8f1c0-0000-4000-8000-000000000000',
      characteristics: [{ uuid: UNKNOWN_UUID, notifies: true }],
    };
    await expect(find([plain])).rejects.toMatchObject({ code: 'unknown-layout' });
    const named = await find([plain], { characteristic: UNKNOWN_UUID, textKpaPerUnit: 100 });
    expect(named.layout).toEqual({ kind: 'text', kpaPerUnit: 100 });
    const described = await find(DESCRIBED.services, { characteristic: UNKNOWN_UUID, textKpaPerUnit: 100 });
    expect(described.layout.kind).toBe('described');
  });

  it('is a custom layout where it fits, and a known one where it does not', async () => {
    const outcome = parseCustomLayout(
      JSON.stringify({
        format: 'strokebook-layout',
        version: 1,
        name: 'Own',
        service: 'a3d8f1c0-0000-4000-8000-000000000000',
        characteristic: UNKNOWN_UUID,
        samples: { type: 'uint8', offset: 0 },
        pressure: { unit: 'bar' },
      }),
    );
    if (!outcome.ok) expect.fail(outcome.detail);
    expect((await find(DESCRIBED.services, { layout: outcome.layout })).layout.kind).toBe('custom');
    expect((await find(ENVIRONMENTAL.services, { layout: outcome.layout })).layout.kind).toBe(
      'environmental',
    );
    expect(chooserRequest({ layout: outcome.layout }).announced).toContain(
      'a3d8f1c0-0000-4000-8000-000000000000',
    );
  });

  it('takes the unit of text lines from a description as text', async () => {
    const service = {
      uuid: SERVICES.strokebook,
      characteristics: [
        { uuid: CHARACTERISTICS.strokebookText, notifies: true, descriptors: describedAs(0x19, UNITS.bar) },
      ],
    };
    expect((await find([service])).layout).toEqual({ kind: 'text', kpaPerUnit: 100 });
  });

  it('ignores a description that is unreadable or malformed', async () => {
    const locked = await find(TEXT.services, {}, (device) => {
      device.faults.descriptor = [new DOMException('Read not permitted.', 'NotSupportedError')];
    });
    expect(locked.layout.kind).toBe('text');
    const short = {
      uuid: SERVICES.serialPort,
      characteristics: [
        {
          uuid: CHARACTERISTICS.serialPortOut,
          notifies: true,
          descriptors: { [DESCRIPTORS.presentationFormat]: Uint8Array.of(1) },
        },
      ],
    };
    expect((await find([short])).layout.kind).toBe('text');
  });

  it('does not take a lost link for a missing description', async () => {
    const broken = find(DESCRIBED.services, {}, (device) => {
      device.faults.descriptor = [new DOMException('GATT Server is disconnected.', 'NetworkError')];
    });
    await expect(broken).rejects.toMatchObject({ code: 'link-lost' });
  });

  it('reads the sensor’s declared range, and ignores an impossible one', async () => {
    expect((await find(PACKED.services)).range).toEqual({ minKpa: -1, maxKpa: 2000 });
    const odd = {
      uuid: SERVICES.strokebook,
      characteristics: [
        {
          uuid: UNKNOWN_UUID,
          notifies: true,
          descriptors: { ...describedAs(0x04, UNITS.bar), [DESCRIPTORS.validRange]: Uint8Array.of(9, 3) },
        },
      ],
    };
    expect((await find([odd])).range).toBeUndefined();
  });
});
