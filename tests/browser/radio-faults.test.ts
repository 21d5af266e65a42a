/**
 * Every radio fault during a capture, through the browser's own Bluetooth: the built app, an emulated transducer, and each
 * fault in the middle of a cranking. `tests/unit/radio-faults.test.ts` has the same faults on a fake clock.
 */
import { afterAll, beforeAll, expect, inject, it, vi } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { isTooShort } from '../../worker/core/reading-quality.ts';
import { said } from '../support/app.ts';
import { type BluetoothBrowser, openBluetoothBrowser } from '../support/bluetooth-bench.ts';
import type { EmulatedPeripheral } from '../support/emulated-bluetooth.ts';
import { pressuresIn } from '../support/play.ts';
import {
  type AirEvent,
  areEven,
  cranked,
  FAULTS,
  REST_S,
  standsIn,
  stretchLike,
} from '../support/radio-faults.ts';

// Each takes the real time of the cranking, in a page and storage of its own.
vi.setConfig({ maxConcurrency: 5 });

let workshop: BluetoothBrowser;
beforeAll(async () => {
  workshop = await openBluetoothBrowser(inject('appUrl'));
});
afterAll(() => workshop?.close());

/** Runs each action when it is due, as closely as a busy machine allows. Resolves after the last one. */
async function send(device: EmulatedPeripheral, outlet: string, events: readonly AirEvent[]): Promise<void> {
  const startMs = performance.now();
  for (const { dueS, bytes, act } of events) {
    while (performance.now() - startMs < dueS * 1000) await new Promise((resolve) => setTimeout(resolve, 2));
    if (bytes) device.notify(outlet, bytes);
    act?.(device);
  }
}

it.concurrent.each(FAULTS)('survives $name', async (fault) => {
  const { air, link, kind = 'packed', gap, whole = false, ends = false } = fault;
  const { app, page, peripheral, transducer } = await workshop.calmBench(kind);
  const { outlet, layout, sensor } = transducer;
  const clean = cranked(transducer, link);
  const sentKpa = pressuresIn(clean, layout);
  await app.beginTest({ name: 'Faulty radio', cylinders: 1 });
  await app.connectSensor();
  await peripheral.untilSubscribed(outlet);
  await app.arm();
  await send(peripheral, outlet, air(clean));
  if (ends) {
    await page.getByText(said(en.connection.reconnecting)).first().waitFor();
    await app.button(en.crank.stop).click();
  }
  await app.phase(en.phase.done).waitFor({ timeout: 30_000 });

  const recordings = await app.downloadTraces();
  expect(recordings).toHaveLength(1);
  const { trace } = recordings[0]!;
  const stored = [...trace.pressureKpa];
  expect(isTooShort(readTrace(trace, { cycle: 4, fuel: 'spark' }))).toBe(false);
  expect(stored.length).toBeGreaterThan(0.3 * sentKpa.length);
  expect(standsIn(stored, sentKpa)).toBe(true);
  expect(trace.timeS.every((timeS, i) => i === 0 || timeS > trace.timeS[i - 1]!)).toBe(true);
  const reasons = trace.gaps.map(({ reason }) => reason);
  expect([...new Set(reasons)].filter((reason) => ![gap].flat().includes(reason))).toEqual([]);
  expect(reasons.length > 0).toBe(gap !== undefined);
  if (whole) {
    expect(stored).toEqual(stretchLike(stored, sentKpa));
    expect(areEven(trace.timeS, sensor.rateHz!)).toBe(true);
  }
  await page.close();
});

it.concurrent('ignores the previous sensor after another one is chosen', async () => {
  const { app, page, peripheral: left, transducer, pick } = await workshop.calmBench('packed');
  const another = await workshop.calmBench('packed');
  await another.page.close();
  const { peripheral, transducer: taken } = another;
  await app.beginTest({ name: 'Two sensors', cylinders: 1 });
  await app.connectSensor();
  await left.untilSubscribed(transducer.outlet);
  const clean = cranked(taken);
  await send(left, transducer.outlet, clean.slice(0, 30));
  await app.button(en.crank.change).click();
  pick(taken.profile.name);
  await app.button(en.crank.connectSensor).click();
  await peripheral.untilSubscribed(taken.outlet);
  await app.sensorLine.getByText(taken.profile.name).waitFor();
  await app.arm();
  // The previous transducer goes on sending, with pressures that the new one never has.
  const strange = clean.at(0)!.bytes.slice();
  new DataView(strange.buffer).setInt16(8, 12_345, true);
  let delivered = 0;
  const both = clean.flatMap((packet): AirEvent[] => [
    packet,
    { dueS: packet.dueS, act: () => void (left.notify(transducer.outlet, strange) && delivered++) },
  ]);
  await send(peripheral, taken.outlet, both);
  await app.phase(en.phase.done).waitFor({ timeout: 30_000 });
  expect(delivered).toBe(0);
  const [recording, ...others] = await app.downloadTraces();
  expect(others).toHaveLength(0);
  expect(recording!.trace.gaps).toEqual([]);
  expect(standsIn([...recording!.trace.pressureKpa], pressuresIn(clean, taken.layout))).toBe(true);
  await page.close();
});

it.concurrent('reconnects after a long silence, and does not take the stale link for the new one', async () => {
  const { app, page, peripheral, transducer } = await workshop.calmBench('packed');
  peripheral.disconnectDelayMs = 300;
  let links = 0;
  let subscriptions = 0;
  peripheral.on('connected', () => links++);
  peripheral.on('subscribed', (uuid) => {
    if (uuid === transducer.outlet) subscriptions++;
  });
  // Listening starts here: on a busy machine the link may be up again before the next check.
  const disconnected = new Promise<void>((resolve) => peripheral.once('disconnected', resolve));
  const clean = cranked(transducer);
  await app.beginTest({ name: 'Silent', cylinders: 1 });
  await app.connectSensor();
  await send(
    peripheral,
    transducer.outlet,
    clean.filter(({ dueS }) => dueS < REST_S - 1),
  );
  await page.getByText(said(en.connection.silent)).first().waitFor();
  await page.getByText(said(en.connection.reconnecting)).first().waitFor({ timeout: 15_000 });
  await disconnected;
  await peripheral.untilSubscribed(transducer.outlet);
  await page.getByText(said(en.connection.streaming)).first().waitFor();
  expect({ links, subscriptions }).toEqual({ links: 2, subscriptions: 2 });
  await page.close();
});
