import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { browserClock } from '../../src/platform/clock.ts';
import { createBluetoothSource } from '../../src/sources/bluetooth/bluetooth-source.ts';
import type { BluetoothSettings } from '../../src/sources/bluetooth/settings.ts';
import type { SourceProblem } from '../../src/sources/port.ts';
import type { SourceInfo } from '../../worker/file/records.ts';
import { parseCustomLayout } from '../../worker/wire/custom-layout.ts';
import { CHARACTERISTICS, SERVICES } from '../../worker/wire/uuids.ts';
import { FakeGatt, FakeTransducer } from '../support/fake-gatt.ts';
import {
  DESCRIBED,
  ENVIRONMENTAL,
  FAKE_LAYOUTS,
  type FakeLayout,
  PACKED,
  TEXT,
} from '../support/fake-transducers.ts';
import { createSourceListener } from '../support/source-listener.ts';

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

const lost = (): Error => new DOMException('GATT Server is disconnected. Cannot connect.', 'NetworkError');

function setUp(layout: FakeLayout, settings: BluetoothSettings = {}) {
  const device = new FakeTransducer(layout.services);
  const gatt = new FakeGatt(device);
  const source = createBluetoothSource({ gatt, clock: browserClock, settings });
  const listener = createSourceListener();
  const abort = new AbortController();
  let n = 0;
  return {
    device,
    gatt,
    source,
    listener,
    abort,
    /** Opens the source and runs the clock until it is open or has failed. */
    async open(): Promise<SourceInfo> {
      const opening = source.open(listener, abort.signal);
      const outcome = opening.then(
        () => true,
        () => true,
      );
      let settled = false;
      void outcome.then(() => {
        settled = true;
      });
      for (let i = 0; i < 1200 && !settled; i++) await vi.advanceTimersByTimeAsync(50);
      return opening;
    },
    /** Notifies for this many seconds; returns the number of notifications received. */
    async play(seconds: number, step = 1): Promise<number> {
      let delivered = 0;
      const stepMs = 10 * layout.samplesPerPacket;
      for (let ms = 0; ms < seconds * 1000; ms += stepMs) {
        if (device.notify(layout.uuid, layout.packet(n))) delivered++;
        n += step;
        await vi.advanceTimersByTimeAsync(stepMs);
      }
      return delivered;
    },
  };
}

const problemOf = (opening: Promise<SourceInfo>): Promise<SourceProblem> =>
  opening.then(
    () => expect.fail('it opened'),
    (problem: SourceProblem) => problem,
  );

describe.each(FAKE_LAYOUTS.map((layout) => [layout.name, layout] as const))('%s', (name, layout) => {
  it('is found, named and read to the last sample', async () => {
    const t = setUp(layout);
    const info = await t.open();
    expect(info).toMatchObject({
      kind: 'bluetooth',
      name: 'Fake',
      manufacturer: 'Bench',
      model: 'Twenty bar',
      firmware: '1.2',
      layout: name,
    });
    const delivered = await t.play(5);
    t.abort.abort();
    // A text stream begins anywhere: the part before the first line end may be half a number.
    const first = layout === TEXT ? 1 : 0;
    const expected = Array.from(
      { length: delivered * layout.samplesPerPacket - first },
      (_, i) => 100 + first + i,
    );
    t.listener.pressureKpa.forEach((kpa, i) => {
      expect(kpa).toBeCloseTo(expected[i] ?? Number.NaN, 6);
    });
    expect(t.listener.pressureKpa).toHaveLength(expected.length);
    expect(t.listener.gaps).toEqual([]);
    expect(t.listener.ends).toEqual([{ kind: 'stopped' }]);
    expect(t.device.collisions).toBe(0);
    expect(t.device.connected()).toBe(false);
  });

  it('continues after a lost link with a gap, on the same clock', async () => {
    const t = setUp(layout);
    await t.open();
    await t.play(2);
    t.device.dropLink();
    await t.play(3);
    t.abort.abort();
    expect(t.device.links).toBe(2);
    expect(t.listener.gaps.map((gap) => gap.reason)).toEqual(['link-lost']);
    const gap = t.listener.gaps[0];
    // 600 ms before the reconnect, then a few operations.
    expect((gap?.endS ?? 0) - (gap?.startS ?? 0)).toBeGreaterThan(0.5);
    expect((gap?.endS ?? 0) - (gap?.startS ?? 0)).toBeLessThan(1.2);
    const span = (t.listener.timeS.at(-1) ?? 0) - (t.listener.timeS[0] ?? 0);
    expect(span).toBeGreaterThan(4.7);
    expect(span).toBeLessThan(5.1);
    expect(t.listener.statuses).toContainEqual({ state: 'reconnecting', attempt: 1 });
    expect(t.listener.ends).toEqual([{ kind: 'stopped' }]);
  });
});

describe('opening', () => {
  it('requests the device first, within the handling of the press', () => {
    const t = setUp(PACKED);
    void t.source.open(t.listener, t.abort.signal);
    expect(t.gatt.requests).toHaveLength(1);
    expect(t.gatt.requests[0]?.announced).toContain(SERVICES.strokebook);
    expect(t.gatt.requests[0]?.announced).not.toContain(SERVICES.battery);
    expect(t.gatt.requests[0]?.services).toContain(SERVICES.battery);
  });

  it('shows every device on request, and asks for the service that the user named', async () => {
    const service = 'a3d8f1c0-0000-4000-8000-000000000000';
    const t = setUp(DESCRIBED, { anyDevice: true, service });
    await t.open();
    expect(t.gatt.requests[0]?.announced).toEqual([]);
    expect(t.gatt.requests[0]?.services).toContain(service);
  });

  it('does not show the chooser again for a device chosen before', async () => {
    const t = setUp(PACKED);
    await t.open();
    t.abort.abort();
    const listener = createSourceListener();
    const again = t.source.open(listener, new AbortController().signal);
    await vi.advanceTimersByTimeAsync(3000);
    await again;
    expect(t.gatt.requests).toHaveLength(1);
    // The link before it was released: this is a new one.
    expect(t.device.links).toBe(2);
    expect(t.device.connected()).toBe(true);
  });

  it('distinguishes a closed chooser, a radio that is off, and a page without permission', async () => {
    for (const [thrown, code] of [
      [new DOMException('User cancelled the requestDevice() chooser.', 'NotFoundError'), 'cancelled'],
      [new DOMException('Bluetooth adapter not available.', 'NotFoundError'), 'bluetooth-off'],
      [new DOMException('Web Bluetooth API globally disabled.', 'NotFoundError'), 'not-allowed'],
      [new DOMException('Must be handling a user gesture.', 'SecurityError'), 'not-allowed'],
    ] as const) {
      const source = createBluetoothSource({ gatt: new FakeGatt(thrown), clock: browserClock });
      const listener = createSourceListener();
      expect((await problemOf(source.open(listener, new AbortController().signal))).code).toBe(code);
      expect(listener.ends).toEqual([]);
    }
  });

  it('reports a browser without Bluetooth', async () => {
    const source = createBluetoothSource({ gatt: undefined, clock: browserClock });
    const problem = await problemOf(source.open(createSourceListener(), new AbortController().signal));
    expect(problem.code).toBe('no-bluetooth');
  });

  it('retries when a new link breaks, and gives up after the third time', async () => {
    const twice = setUp(PACKED);
    twice.device.faults.connect = [lost()];
    twice.device.faults.services = [lost()];
    await twice.open();
    expect(twice.device.log.filter((entry) => entry === 'connect')).toHaveLength(3);

    const always = setUp(PACKED);
    always.device.faults.connect = [lost(), lost(), lost(), lost()];
    expect((await problemOf(always.open())).code).toBe('link-lost');
    expect(always.device.log.filter((entry) => entry === 'connect')).toHaveLength(3);
  });

  it.each(['connect', 'services', 'subscribe'] as const)(
    'does not wait for ever when "%s" hangs',
    async (step) => {
      const t = setUp(PACKED);
      t.device.faults[step] = ['hang', 'hang', 'hang'];
      expect((await problemOf(t.open())).code).toBe('timed-out');
      expect(t.device.connected()).toBe(false);
    },
  );

  it('can be stopped while it connects', async () => {
    const t = setUp(PACKED);
    t.device.faults.connect = ['hang'];
    const opening = problemOf(t.source.open(t.listener, t.abort.signal));
    await vi.advanceTimersByTimeAsync(500);
    t.abort.abort();
    expect((await opening).code).toBe('cancelled');
    expect(t.listener.ends).toEqual([]);
    await vi.advanceTimersByTimeAsync(10_000);
    expect(t.device.connected()).toBe(false);
  });

  it('connects without device information and battery when they hang', async () => {
    const t = setUp(PACKED);
    t.device.faults.read = ['hang', 'hang', 'hang'];
    const info = await t.open();
    expect(info.manufacturer).toBeUndefined();
    await t.play(2);
    expect(t.listener.pressureKpa.length).toBeGreaterThan(100);
  });

  it('reports a missing characteristic', async () => {
    const nothing = setUp({ ...PACKED, services: [{ uuid: SERVICES.battery, characteristics: [] }] });
    expect((await problemOf(nothing.open())).code).toBe('no-pressure-service');
    // The next attempt begins with the chooser again.
    await problemOf(nothing.open());
    expect(nothing.gatt.requests).toHaveLength(2);
    const dumb = { uuid: 'a3d8f1c0-0000-4000-8000-00000000000f', notifies: true };
    const silent = setUp({
      ...PACKED,
      services: [{ uuid: SERVICES.environmentalSensing, characteristics: [dumb] }],
    });
    expect((await problemOf(silent.open())).code).toBe('unknown-layout');
  });
});

describe('streaming', () => {
  it('reports rate and battery', async () => {
    const t = setUp(PACKED);
    await t.open();
    await t.play(4);
    const status = t.listener.statuses.at(-1);
    expect(status).toMatchObject({ state: 'streaming', batteryPercent: 81 });
    expect(status?.state === 'streaming' && status.samplesPerS).toBeCloseTo(100, -1);
    t.device.notify(CHARACTERISTICS.batteryLevel, Uint8Array.of(12));
    await t.play(1.5);
    expect(t.listener.statuses.at(-1)).toMatchObject({ batteryPercent: 12 });
  });

  it('reports a silent sensor, and reconnects only once', async () => {
    const t = setUp(ENVIRONMENTAL);
    await t.open();
    await t.play(2);
    await vi.advanceTimersByTimeAsync(5000);
    expect(t.listener.statuses.at(-1)).toMatchObject({ state: 'silent', forS: expect.closeTo(5, 0) });
    await vi.advanceTimersByTimeAsync(60_000);
    expect(t.device.links).toBe(2);
    await t.play(2);
    expect(t.listener.statuses.at(-1)).toMatchObject({ state: 'streaming' });
    expect(t.listener.gaps).toHaveLength(1);
  });

  it('ignores late events of an earlier link', async () => {
    const t = setUp(PACKED);
    await t.open();
    await t.play(1);
    t.device.lateLossEvent();
    await t.play(1);
    t.device.dropLink();
    // A second loss while the new link is being made.
    await vi.advanceTimersByTimeAsync(602);
    t.device.lateLossEvent();
    await t.play(1);
    expect(t.device.links).toBe(2);
    expect(t.device.log.filter((entry) => entry === 'connect')).toHaveLength(2);
    expect(t.listener.gaps).toHaveLength(1);
  });

  it('keeps reconnecting while the sensor is out of range, and ends when it stays away', async () => {
    const t = setUp(PACKED);
    await t.open();
    await t.play(2);
    const before = t.listener.pressureKpa.length;
    t.device.faults.connect = Array.from(
      { length: 500 },
      () => new DOMException('Bluetooth Device is no longer in range.', 'NetworkError'),
    );
    t.device.dropLink();
    await vi.advanceTimersByTimeAsync(60_000);
    expect(t.listener.ends).toEqual([]);
    expect(t.listener.statuses.at(-1)?.state).toBe('reconnecting');
    await vi.advanceTimersByTimeAsync(90_000);
    expect(t.listener.ends).toMatchObject([{ kind: 'lost', problem: { code: 'out-of-range' } }]);
    expect(t.listener.pressureKpa.length).toBe(before);
  });

  it('can be stopped while it reconnects', async () => {
    const t = setUp(PACKED);
    await t.open();
    await t.play(1);
    t.device.faults.connect = ['hang'];
    t.device.dropLink();
    await vi.advanceTimersByTimeAsync(2000);
    t.abort.abort();
    await vi.advanceTimersByTimeAsync(20_000);
    expect(t.listener.ends).toEqual([{ kind: 'stopped' }]);
    expect(t.device.connected()).toBe(false);
  });

  it('continues through lost, repeated and damaged packets, and counts them', async () => {
    const t = setUp(PACKED);
    await t.open();
    const send = async (...bytes: Uint8Array[]): Promise<void> => {
      for (const packet of bytes) t.device.notify(PACKED.uuid, packet);
      await vi.advanceTimersByTimeAsync(50);
    };
    for (let n = 0; n < 40; n++) {
      if (n === 10) continue;
      const packet = PACKED.packet(n);
      if (n === 20) await send(packet, packet);
      else if (n === 30) await send(packet.slice(0, 7), new Uint8Array(0));
      else await send(packet);
    }
    await vi.advanceTimersByTimeAsync(1100);
    expect(t.listener.statuses.findLast((s) => s.state === 'streaming')).toMatchObject({
      counts: { refused: 2, lost: 2, duplicates: 1, samples: 190 },
    });
    expect(t.listener.gaps.map((gap) => gap.reason)).toEqual(['packets-lost', 'packets-lost']);
  });

  it('drops values beyond the range that the sensor declares', async () => {
    // Valid Range of the fake: -1 to 2000 kPa; up to a tenth more is accepted.
    const t = setUp(PACKED);
    expect((await t.open()).sensorMaxKpa).toBe(2000);
    const bytes = PACKED.packet(0);
    new DataView(bytes.buffer).setInt16(10, 30_000, true);
    t.device.notify(PACKED.uuid, bytes);
    await vi.advanceTimersByTimeAsync(100);
    expect(t.listener.pressureKpa).toEqual([100, 102, 103, 104]);
  });

  it('takes range and class from a layout file', async () => {
    const outcome = parseCustomLayout(
      JSON.stringify({
        format: 'strokebook-layout',
        version: 1,
        name: 'Own',
        service: 'a3d8f1c0-0000-4000-8000-000000000000',
        characteristic: DESCRIBED.uuid,
        samples: { type: 'uint8', offset: 0 },
        pressure: { unit: 'kPa' },
        maxKpa: 2500,
        classPercent: 0.5,
      }),
    );
    if (!outcome.ok) expect.fail(outcome.detail);
    const info = await setUp(DESCRIBED, { layout: outcome.layout }).open();
    expect(info).toMatchObject({ sensorMaxKpa: 2500, accuracy: { classPercent: 0.5, rangeKpa: 2500 } });
    const { accuracy } = await setUp(DESCRIBED).open();
    expect(accuracy).toBeUndefined();
  });

  it('ends when a text stream never states its unit', async () => {
    const t = setUp({ ...TEXT, packet: () => Uint8Array.from('12.5\n', (c) => c.charCodeAt(0)) });
    await t.open();
    await t.play(8);
    expect(t.listener.ends).toMatchObject([{ kind: 'lost', problem: { code: 'unknown-layout' } }]);
  });

  it('takes the unit of a text stream from the settings', async () => {
    const packet = (n: number): Uint8Array => Uint8Array.from(`${n}\r\n`, (c) => c.charCodeAt(0));
    const t = setUp({ ...TEXT, packet }, { textKpaPerUnit: 100 });
    await t.open();
    await t.play(1);
    expect(t.listener.pressureKpa.slice(0, 3)).toEqual([100, 200, 300]);
  });
});
