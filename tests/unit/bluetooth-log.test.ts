/** Errors of a radio link are in the error log, without any device name. */
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { browserClock } from '../../src/platform/clock.ts';
import { createErrorLog } from '../../src/platform/error-log.ts';
import { createBluetoothSource } from '../../src/sources/bluetooth/bluetooth-source.ts';
import { FakeGatt, FakeTransducer } from '../support/fake-gatt.ts';
import { PACKED } from '../support/fake-transducers.ts';
import { createSourceListener } from '../support/source-listener.ts';

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

const lost = (): Error => new DOMException('Anna’s sensor is disconnected.', 'NetworkError');

function setUp() {
  const device = new FakeTransducer(PACKED.services);
  const gatt = new FakeGatt(device);
  const log = createErrorLog({ read: () => null, write: () => undefined }, browserClock);
  const source = createBluetoothSource({ gatt, clock: browserClock, log });
  const abort = new AbortController();
  return {
    device,
    gatt,
    abort,
    lines: () => log.lines().map((line) => line.replace(/^\S+ /, '').replace(/ at \S+.*?(?=;|$)/, '')),
    async open(): Promise<void> {
      let settled = false;
      const opening = source.open(createSourceListener(), abort.signal).then(
        () => undefined,
        () => undefined,
      );
      void opening.then(() => {
        settled = true;
      });
      for (let i = 0; i < 1200 && !settled; i++) await vi.advanceTimersByTimeAsync(50);
    },
  };
}

it('contains a refusal by the chooser, but not a closed chooser', async () => {
  const t = setUp();
  vi.spyOn(t.gatt, 'choose').mockRejectedValueOnce(
    new DOMException('User cancelled the requestDevice() chooser.', 'NotFoundError'),
  );
  await t.open();
  expect(t.lines()).toEqual([]);
  vi.spyOn(t.gatt, 'choose').mockRejectedValueOnce(new DOMException('No.', 'SecurityError'));
  await t.open();
  expect(t.lines()).toEqual([
    expect.stringMatching(/^bluetooth choose: SourceProblem not-allowed; cause: SecurityError/),
  ]);
});

it('contains every failed connection attempt with its step', async () => {
  const t = setUp();
  t.device.faults.services = [lost()];
  t.device.faults.connect = ['hang'];
  await t.open();
  expect(t.lines()).toEqual([
    'bluetooth connect: SourceProblem timed-out',
    expect.stringMatching(/^bluetooth discover: SourceProblem link-lost; cause: NetworkError/),
  ]);
});

it('contains a lost link and the reason why it was not restored, but not a disconnect by the user', async () => {
  const t = setUp();
  await t.open();
  t.device.faults.connect = [lost()];
  t.device.dropLink();
  await vi.advanceTimersByTimeAsync(6000);
  t.abort.abort();
  await vi.advanceTimersByTimeAsync(1000);
  expect(t.lines()).toEqual([
    'bluetooth: SourceProblem link-lost',
    expect.stringMatching(/^bluetooth connect: SourceProblem link-lost; cause: NetworkError/),
  ]);
});

it('contains a sensor without readable pressures', async () => {
  const t = setUp();
  await t.open();
  for (let i = 0; i < 400; i++) {
    t.device.notify(PACKED.uuid, new Uint8Array([i]));
    await vi.advanceTimersByTimeAsync(50);
  }
  expect(t.lines()).toEqual(['bluetooth: SourceProblem unknown-layout']);
});
