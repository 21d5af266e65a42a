/** A sensor by cable: rate and format found by listening, the cable pulled and plugged in again. The port is scripted. */
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { browserClock } from '../../src/platform/clock.ts';
import { createCableSource } from '../../src/sources/serial/cable-source.ts';
import { rememberedCables } from '../../src/sources/serial/remembered.ts';
import type { CableSettings } from '../../src/sources/serial/settings.ts';
import { memoryStorage } from '../support/memory-storage.ts';
import {
  type CableFormat,
  ScriptedPort,
  ScriptedSerial,
  simulatedOctets,
} from '../support/scripted-serial.ts';
import { createSourceListener } from '../support/source-listener.ts';

const IDS = { usbVendorId: 0x1a86, usbProductId: 0x7523 };

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

function world(rate: number | null, send: CableFormat | Uint8Array | null, settings: CableSettings = {}) {
  const serial = new ScriptedSerial(new ScriptedPort(IDS, rate));
  const storage = memoryStorage();
  const octets =
    typeof send === 'string' ? simulatedOctets(send) : () => (send === null ? [] : [send, send, send]);
  let nowS = 0;
  const source = createCableSource({ serial, clock: browserClock, storage, settings });
  const run = async (seconds: number) => {
    for (const endS = nowS + seconds; nowS < endS - 1e-9; ) {
      nowS += 0.05;
      for (const piece of octets(nowS)) serial.port.send(piece);
      await vi.advanceTimersByTimeAsync(50);
    }
  };
  const open = async (listener = createSourceListener(), signal = new AbortController().signal) => {
    const end: { info?: unknown; problem?: unknown } = {};
    void source.open(listener, signal).then(
      (info) => {
        end.info = info;
      },
      (problem: unknown) => {
        end.problem = problem;
      },
    );
    for (let i = 0; i < 1500 && !end.info && !end.problem; i++) await run(0.05);
    return end;
  };
  return { serial, storage, run, open };
}

it('tries the rates until the octets can be read, and begins with that rate the next time', async () => {
  const { serial, storage, open } = world(9600, 'lines');
  const abort = new AbortController();
  const { info } = await open(createSourceListener(), abort.signal);
  expect(info).toMatchObject({ kind: 'serial', name: 'USB 1a86:7523', layout: 'text lines' });
  expect(serial.port.rates).toEqual([115_200, 9600]);
  expect(rememberedCables(storage)).toMatchObject([{ ...IDS, baudRate: 9600, layout: 'text lines' }]);
  abort.abort();
  expect(await open()).toMatchObject({ info: { kind: 'serial' } });
  expect(serial.port.rates).toEqual([115_200, 9600, 9600]);
  expect(serial.asked).toBe(1);
});

it('finds the packed stream at a rate far down the list', async () => {
  const { serial, open } = world(230_400, 'framed');
  expect(await open()).toMatchObject({ info: { layout: 'packed stream by cable' } });
  expect(serial.port.rates.at(-1)).toBe(230_400);
});

it.each([
  ['nothing', null, 'cable-silent'],
  ['noise', Uint8Array.from({ length: 40 }, (_, i) => (i * 73 + 19) & 0xff), 'cable-unreadable'],
  ['words', new TextEncoder().encode('sensor ready\nwaiting\n'), 'cable-unreadable'],
  ['bare numbers', 'bare', 'cable-no-unit'],
  ['volts', 'volts', 'cable-no-range'],
] as const)('says what is missing when %s arrives', async (_name, send, code) => {
  const { serial, open } = world(null, send);
  expect(await open()).toMatchObject({ problem: { code } });
  await vi.advanceTimersByTimeAsync(10);
  expect(serial.port.readable).toBeNull();
});

it('reads volts by the range of the sensor', async () => {
  const volts = { lowV: 0.5, lowKpa: 0, highV: 4.5, highKpa: 2500 };
  const listener = createSourceListener();
  const { open, run } = world(null, 'volts', { volts });
  await open(listener);
  await run(5);
  expect(Math.max(...listener.pressureKpa)).toBeGreaterThan(600);
  expect(Math.abs(listener.pressureKpa[0] ?? 99)).toBeLessThan(15);
});

it.each(['timed-us', 'timed-ms'] as const)(
  'takes times from the clock of %s lines, without gaps',
  async (format) => {
    const listener = createSourceListener();
    const { open, run } = world(null, format);
    expect(await open(listener)).toMatchObject({ info: { layout: 'text lines with a clock' } });
    await run(4);
    expect(listener.gaps).toEqual([]);
    const steps = listener.timeS.slice(1).map((s, i) => s - (listener.timeS[i] ?? 0));
    expect(Math.max(...steps)).toBeLessThan(0.0061);
    expect(Math.min(...steps)).toBeGreaterThan(0.0039);
  },
);

it('goes on with a gap after the cable was pulled and plugged in again', async () => {
  const { serial, open, run } = world(null, 'framed');
  const listener = createSourceListener();
  await open(listener);
  await run(2);
  serial.port.unplug();
  await run(5);
  expect(listener.statuses.at(-1)).toMatchObject({ state: 'reconnecting' });
  const before = listener.timeS.length;
  serial.plugIn(new ScriptedPort(IDS));
  await run(2);
  expect(listener.timeS.length).toBeGreaterThan(before + 100);
  expect(listener.gaps.map(({ reason }) => reason)).toEqual(['link-lost']);
  expect(listener.ends).toEqual([]);
  expect(serial.asked).toBe(1);
});

it('gives up when the cable stays away', async () => {
  const { serial, open, run } = world(null, 'framed');
  const listener = createSourceListener();
  await open(listener);
  serial.port.unplug();
  await run(130);
  expect(listener.ends).toMatchObject([{ kind: 'lost', problem: { code: 'unplugged' } }]);
});

it('survives framing errors', async () => {
  const { serial, open, run } = world(null, 'framed');
  const listener = createSourceListener();
  await open(listener);
  await run(1);
  serial.port.disturb();
  await run(1);
  const count = listener.timeS.length;
  await run(1);
  expect(listener.timeS.length).toBeGreaterThan(count + 100);
  expect(listener.statuses.some(({ state }) => state === 'reconnecting')).toBe(false);
});

it('says that another program has the port', async () => {
  const { serial, open } = world(null, 'framed');
  await serial.port.open({ baudRate: 9600 });
  expect(await open()).toMatchObject({ problem: { code: 'port-busy' } });
});

it('closes the port when it is stopped while listening', async () => {
  const { serial, open, run } = world(9600, 'lines');
  const abort = new AbortController();
  const opening = open(createSourceListener(), abort.signal);
  await run(0.5);
  expect(serial.port.readable).not.toBeNull();
  abort.abort();
  expect(await opening).toMatchObject({ problem: { code: 'cancelled' } });
  await vi.advanceTimersByTimeAsync(10);
  expect(serial.port.readable).toBeNull();
});
