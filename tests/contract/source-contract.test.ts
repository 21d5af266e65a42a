/** The contract of `SampleSource`, as written in `src/sources/port.ts`, for every source that can run here. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';
import { browserClock } from '../../src/platform/clock.ts';
import { createBluetoothSource } from '../../src/sources/bluetooth/bluetooth-source.ts';
import { createCameraSource } from '../../src/sources/camera/camera-source.ts';
import { type SampleSource, SourceProblem } from '../../src/sources/port.ts';
import { createReplaySource } from '../../src/sources/replay.ts';
import { createCableSource } from '../../src/sources/serial/cable-source.ts';
import { createSimulatedSource } from '../../src/sources/simulated.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { SourceKind } from '../../worker/file/records.ts';
import { DIAL, FakeDialCamera } from '../support/fake-dial-camera.ts';
import { FakeGatt, FakeTransducer } from '../support/fake-gatt.ts';
import { FAKE_LAYOUTS, type FakeLayout } from '../support/fake-transducers.ts';
import { memoryStorage } from '../support/memory-storage.ts';
import {
  type CableFormat,
  ScriptedPort,
  ScriptedSerial,
  simulatedOctets,
} from '../support/scripted-serial.ts';
import { createSourceListener } from '../support/source-listener.ts';

/** A source and the environment that feeds it. */
interface World {
  readonly source: SampleSource;
  /** Lets this much time pass. */
  run(seconds: number): Promise<void>;
}

interface Case {
  readonly name: string;
  readonly kind: SourceKind;
  make(): World;
}

function bluetoothCase(layout: FakeLayout): Case {
  return {
    name: `bluetooth, ${layout.name}`,
    kind: 'bluetooth',
    make() {
      const device = new FakeTransducer(layout.services);
      let n = 0;
      return {
        source: createBluetoothSource({ gatt: new FakeGatt(device), clock: browserClock }),
        async run(seconds) {
          const stepMs = 10 * layout.samplesPerPacket;
          for (let ms = 0; ms < seconds * 1000; ms += stepMs) {
            device.notify(layout.uuid, layout.packet(n++));
            await vi.advanceTimersByTimeAsync(stepMs);
          }
        },
      };
    },
  };
}

const replayCase: Case = {
  name: 'replay',
  kind: 'replay',
  make: () => ({
    source: createReplaySource({
      recording: {
        fileName: 'c1.csv',
        header: { geometry: {}, manual: {} },
        trace: {
          timeS: Float64Array.from({ length: 3000 }, (_, i) => (i < 150 ? i : i + 20) / 100),
          pressureKpa: Float64Array.from({ length: 3000 }, (_, i) => 100 + i),
          gaps: [{ startS: 1.49, endS: 1.7, reason: 'packets-lost' }],
        },
      },
      speed: 1,
      clock: browserClock,
    }),
    run: async (seconds) => {
      await vi.advanceTimersByTimeAsync(seconds * 1000);
    },
  }),
};

const simulatedCase: Case = {
  name: 'simulated',
  kind: 'simulated',
  make: () => ({
    source: createSimulatedSource({
      clock: browserClock,
      engine: makeEngine({ layout: presetLayout('inline', 4) }),
      rig: OPEN_RIG,
      seed: 3,
    }).source,
    run: async (seconds) => {
      await vi.advanceTimersByTimeAsync(seconds * 1000);
    },
  }),
};

const VOLTS = { lowV: 0.5, lowKpa: 0, highV: 4.5, highKpa: 2500 };

function serialCase(format: CableFormat): Case {
  return {
    name: `serial, ${format}`,
    kind: 'serial',
    make() {
      const port = new ScriptedPort({ usbVendorId: 0x2341, usbProductId: 0x43 });
      const octets = simulatedOctets(format);
      let nowS = 0;
      return {
        source: createCableSource({
          serial: new ScriptedSerial(port),
          clock: browserClock,
          storage: memoryStorage(),
          settings: { volts: VOLTS, kpaPerUnit: 1 },
        }),
        async run(seconds) {
          for (const endS = nowS + seconds; nowS < endS - 1e-9; ) {
            nowS += 0.05;
            for (const piece of octets(nowS)) port.send(piece);
            await vi.advanceTimersByTimeAsync(50);
          }
        },
      };
    },
  };
}

const CABLE_FORMATS: readonly CableFormat[] = ['framed', 'lines', 'timed-us', 'timed-ms', 'volts', 'bare'];

const cameraCase: Case = {
  name: 'camera',
  kind: 'camera',
  make() {
    const camera = new FakeDialCamera();
    let n = 0;
    return {
      source: createCameraSource({ camera, dial: DIAL, clock: browserClock }),
      async run(seconds) {
        for (let ms = 0; ms < seconds * 1000; ms += 20) {
          camera.show(500 + n++ / 50, 10);
          await vi.advanceTimersByTimeAsync(20);
        }
      },
    };
  },
};

const cases: readonly Case[] = [
  ...FAKE_LAYOUTS.map(bluetoothCase),
  ...CABLE_FORMATS.map(serialCase),
  replayCase,
  simulatedCase,
  cameraCase,
];

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

async function open(world: World, sink: Parameters<SampleSource['open']>[0], signal: AbortSignal) {
  let opened = false;
  const opening = world.source.open(sink, signal).finally(() => {
    opened = true;
  });
  opening.catch(() => undefined);
  for (let i = 0; i < 100 && !opened; i++) await world.run(0.05);
  return opening;
}

describe.each(cases.map((one) => [one.name, one] as const))('%s', (_name, one) => {
  it('has a kind and a name', async () => {
    const world = one.make();
    expect(world.source.kind).toBe(one.kind);
    const info = await open(world, createSourceListener(), new AbortController().signal);
    expect(info.kind).toBe(one.kind);
    expect(info.name).not.toBe('');
  });

  it('emits nothing before it is open', async () => {
    const world = one.make();
    const listener = createSourceListener();
    let eventsAtOpening = -1;
    const opening = world.source.open(listener, new AbortController().signal).then(() => {
      eventsAtOpening = listener.timeS.length + listener.gaps.length + listener.ends.length;
    });
    await world.run(3);
    await opening;
    expect(eventsAtOpening).toBe(0);
    expect(listener.timeS.length).toBeGreaterThan(100);
  });

  it('starts near 0 and continues in order, in real time', async () => {
    const world = one.make();
    const listener = createSourceListener();
    await open(world, listener, new AbortController().signal);
    await world.run(5);
    expect(Math.abs(listener.timeS[0] ?? 99)).toBeLessThan(2);
    expect((listener.timeS.at(-1) ?? 0) - (listener.timeS[0] ?? 0)).toBeCloseTo(5, 0);
    expect(listener.statuses.some((status) => status.state === 'streaming')).toBe(true);
    expect(listener.ends).toEqual([]);
  });

  it('emits arrays that the listener may keep or overwrite', async () => {
    const world = one.make();
    const kept: { timeS: Float64Array; copy: number[] }[] = [];
    let last = Number.NEGATIVE_INFINITY;
    let lastArrivedMs = Number.NEGATIVE_INFINITY;
    await open(
      world,
      {
        ...createSourceListener(),
        gap() {},
        block({ timeS, pressureKpa }, arrivedMs) {
          expect(timeS[0]).toBeGreaterThan(last);
          expect(arrivedMs).toBeGreaterThanOrEqual(lastArrivedMs);
          last = timeS.at(-1) ?? last;
          lastArrivedMs = arrivedMs;
          pressureKpa.fill(Number.NaN);
          kept.push({ timeS, copy: [...timeS] });
        },
      },
      new AbortController().signal,
    );
    await world.run(3);
    expect(kept.length).toBeGreaterThan(5);
    for (const { timeS, copy } of kept) expect([...timeS]).toEqual(copy);
  });

  it('ends once when stopped, and emits nothing afterwards', async () => {
    const world = one.make();
    const listener = createSourceListener();
    const abort = new AbortController();
    await open(world, listener, abort.signal);
    await world.run(2);
    abort.abort();
    expect(listener.ends).toEqual([{ kind: 'stopped' }]);
    const count = listener.timeS.length;
    await world.run(2);
    expect(listener.timeS.length).toBe(count);
    expect(listener.ends).toHaveLength(1);
  });

  it('can be stopped from within a block', async () => {
    const world = one.make();
    const listener = createSourceListener();
    const abort = new AbortController();
    const stopping = {
      ...listener,
      block(...given: Parameters<typeof listener.block>) {
        listener.block(...given);
        abort.abort();
      },
    };
    await open(world, stopping, abort.signal);
    await world.run(3);
    expect(listener.ends).toEqual([{ kind: 'stopped' }]);
  });

  it('does not open when stopped before', async () => {
    const world = one.make();
    const listener = createSourceListener();
    const problem = await open(world, listener, AbortSignal.abort()).catch((cause: unknown) => cause);
    expect(problem).toBeInstanceOf(SourceProblem);
    expect(problem).toMatchObject({ code: 'cancelled' });
    await world.run(2);
    expect(listener.timeS).toEqual([]);
    expect(listener.ends).toEqual([]);
  });

  it('opens again after a stop', async () => {
    const world = one.make();
    const abort = new AbortController();
    await open(world, createSourceListener(), abort.signal);
    await world.run(1);
    abort.abort();
    const listener = createSourceListener();
    await open(world, listener, new AbortController().signal);
    await world.run(3);
    expect(listener.timeS.length).toBeGreaterThan(100);
    expect(Math.abs(listener.timeS[0] ?? 99)).toBeLessThan(2);
  });
});
