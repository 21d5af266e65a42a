/** A capture behind the real Bluetooth source and a scripted transducer: from the packet to the stored take. Needs fake timers. */
import { vi } from 'vitest';
import { createAnalyst } from '../../src/analysis/analyst.ts';
import { createPageHost } from '../../src/analysis/page-host.ts';
import { createCapture } from '../../src/capture/create-capture.ts';
import { byOrder, createTakeOrder } from '../../src/library/take-order.ts';
import { browserClock } from '../../src/platform/clock.ts';
import { createBluetoothSource } from '../../src/sources/bluetooth/bluetooth-source.ts';
import { createAnalysis } from '../../worker/analysis.ts';
import type { Trace } from '../../worker/core/trace.ts';
import type { TakeRecord } from '../../worker/file/records.ts';
import { dryPlan, handFrames, handLocks, testEngine, testRecord } from './capture-world.ts';
import { FakeGatt, FakeTransducer } from './fake-gatt.ts';
import type { AirEvent } from './radio-faults.ts';
import { createTestStore, settle } from './test-store.ts';
import type { EmulatedTransducer } from './transducer.ts';

/** Step of the fake time, ms; shorter than the interval of any packets. */
const STEP_MS = 5;

const fakeOf = ({ profile }: EmulatedTransducer): FakeTransducer =>
  new FakeTransducer(
    profile.services.map(({ uuid, characteristics }) => ({
      uuid,
      characteristics: characteristics.map(({ flags, descriptors, ...rest }) => ({
        uuid: rest.uuid,
        notifies: flags.includes('notify'),
        ...(rest.value ? { value: rest.value } : {}),
        descriptors: Object.fromEntries((descriptors ?? []).map((one) => [one.uuid, one.value])),
      })),
    })),
  );

/** A capture with one dry cylinder planned, not yet connected, and these transducers in range. */
export async function radioWorld(transducers: readonly EmulatedTransducer[]) {
  const devices = transducers.map(fakeOf);
  const store = createTestStore();
  let chosen = 0;
  let ids = 0;
  const capture = createCapture({
    store,
    analyst: createAnalyst(createPageHost(createAnalysis())),
    clock: browserClock,
    frames: handFrames(),
    keepAwake: { hold: () => () => undefined },
    locks: handLocks(),
    order: createTakeOrder(browserClock),
    newId: () => `take-${++ids}`,
    openSource: async () => ({
      source: createBluetoothSource({ gatt: new FakeGatt(devices[chosen]!), clock: browserClock }),
    }),
    takesChanged: () => undefined,
  });
  await store.saveEngine(testEngine);
  await store.saveTest(testRecord);
  capture.begin(testEngine, testRecord, dryPlan(1));

  const pass = (ms: number) => vi.advanceTimersByTimeAsync(ms);
  return {
    capture,
    devices,
    pass,
    /** Connects to one of them. */
    async connect(index = 0): Promise<void> {
      chosen = index;
      capture.connect({ kind: 'bluetooth' });
      for (let i = 0; i < 100 && capture.connection.value.state !== 'streaming'; i++) await pass(50);
    },
    async arm(): Promise<void> {
      capture.arm();
      await pass(1);
    },
    /** Runs each action when it is due; packets come out of the given transducer's outlet. */
    async play(events: readonly AirEvent[], index = 0): Promise<void> {
      const device = devices[index]!;
      const { outlet } = transducers[index]!;
      let atMs = 0;
      for (const { dueS, bytes, act } of events) {
        while (atMs < dueS * 1000) {
          await pass(STEP_MS);
          atMs += STEP_MS;
        }
        if (bytes) device.notify(outlet, bytes);
        act?.(device);
      }
    },
    async takes(): Promise<{ take: TakeRecord; trace: Trace }[]> {
      await settle();
      const takes = [...(await store.takes(testRecord.id))].sort(byOrder);
      return Promise.all(takes.map(async (take) => ({ take, trace: await store.trace(take.id) })));
    },
  };
}
