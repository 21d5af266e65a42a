/** The log for a report of a fault: events of the radio, and nothing about the user. */
import { signal } from '@preact/signals';
import { expect, it } from 'vitest';
import { createConnectionLog } from '../../src/capture/connection-log.ts';
import type { Connection } from '../../src/capture/connection-state.ts';
import type { KeyValueStorage } from '../../src/platform/ports.ts';
import { type SupportFacts, supportReport } from '../../src/screens/settings/support-report.ts';
import { SourceProblem } from '../../src/sources/port.ts';
import { handClock } from '../support/capture-world.ts';

const info = {
  kind: 'bluetooth',
  name: 'Anna’s sensor',
  serial: 'SN-4711',
  manufacturer: 'Bench',
  layout: 'packed stream',
} as const;
const counts = { samples: 9, noReading: 0, duplicates: 2, reordered: 0, lost: 3, refused: 0, clockResets: 0 };

function setUp() {
  const connection = signal<Connection>({ state: 'none' });
  const clock = handClock();
  const log = createConnectionLog(connection, clock);
  const streaming = (samplesPerS: number, more: Partial<Connection> = {}): Connection =>
    ({ state: 'streaming', kind: 'bluetooth', info, samplesPerS, batteryPercent: 81, ...more }) as Connection;
  const go = (next: Connection, ms = 1000): void => {
    clock.pass(ms);
    connection.value = next;
  };
  return { log, go, streaming };
}

it('records the events of the connection, and nothing about the user', () => {
  const { log, go, streaming } = setUp();
  go({ state: 'choosing', kind: 'bluetooth' });
  go({ state: 'connecting', kind: 'bluetooth' });
  go(streaming(400.4));
  go(streaming(399.6));
  go(streaming(400, { counts }));
  log.gap({ startS: 2.5, endS: 2.75, reason: 'packets-lost' });
  go({ state: 'reconnecting', kind: 'bluetooth', info, attempt: 1 });
  const cause = new DOMException('Anna’s sensor is gone', 'NetworkError');
  go({
    state: 'lost',
    kind: 'bluetooth',
    problem: new SourceProblem('link-lost', 'Anna’s sensor', { cause }),
  });
  expect(log.lines()).toEqual([
    '    0.0 s  choosing (bluetooth)',
    '    1.0 s  connecting (bluetooth)',
    '    2.0 s  streaming packed stream, 400/s, battery 81 %',
    '    4.0 s  streaming packed stream, 400/s, battery 81 %, lost 3, duplicates 2',
    '    4.0 s  gap of 0.250 s at 2.500 s: packets-lost',
    '    5.0 s  reconnecting, try 1',
    '    6.0 s  lost: link-lost (NetworkError)',
  ]);
  expect(log.lines().join()).not.toMatch(/Anna|SN-4711/);
});

it('starts empty with each connection, and stays small', () => {
  const { log, go } = setUp();
  go({ state: 'connecting', kind: 'simulated' });
  for (let attempt = 1; attempt < 500; attempt++) {
    go({ state: 'reconnecting', kind: 'bluetooth', info, attempt });
  }
  expect(log.lines()).toHaveLength(200);
  go({ state: 'connecting', kind: 'replay' });
  expect(log.lines()).toEqual(['    0.0 s  connecting (replay)']);
});

it('survives a reload, until the next connection', () => {
  const kept = new Map<string, string>();
  const storage: KeyValueStorage = {
    read: (key) => kept.get(key) ?? null,
    write: (key, text) => void kept.set(key, text),
  };
  const visit = () => {
    const connection = signal<Connection>({ state: 'none' });
    return { connection, log: createConnectionLog(connection, handClock(), storage) };
  };
  const first = visit();
  first.connection.value = { state: 'connecting', kind: 'simulated' };
  expect(visit().log.lines()).toEqual(['    0.0 s  connecting (simulated)']);
  const third = visit();
  third.connection.value = { state: 'connecting', kind: 'replay' };
  expect(third.log.lines()).toEqual(['    0.0 s  connecting (replay)']);
});

const FACTS: SupportFacts = {
  version: 'strokebook-1',
  userAgent: 'A browser',
  features: {
    bluetooth: true,
    serial: false,
    storage: true,
    persisted: false,
    wakeLock: true,
    sound: true,
    speech: false,
    vibration: 'untried',
  },
  storage: { persistent: false, usedBytes: 2_500_000, quotaBytes: null },
  counts: { engines: 3, tests: 7 },
  journal: { state: 'saved' },
  analyst: 'working',
  meters: { arrivedCount: 10, drawnCount: 9, latencyHistogram: [], takenCount: 9, storedCount: 8 },
  cables: [
    {
      usbVendorId: 0x1a86,
      usbProductId: 0x7523,
      baudRate: 9600,
      layout: 'text lines',
      usedAt: '2026-11-25T10:00:00.000Z',
    },
  ],
  received: [{ by: 'share sheet', ending: 'csv', bytes: 2_400_000, at: '2026-11-26T10:00:00.000Z' }],
  connection: [],
  errors: [],
  shares: [],
};

it('becomes a report in plain text', () => {
  const report = supportReport(FACTS);
  expect(report).toContain(
    'Can: bluetooth yes, serial no, storage yes, persisted no, wakeLock yes, sound yes',
  );
  expect(report).toContain('2026-11-25T10:00:00.000Z  USB 1a86:7523, 9600 baud, text lines');
  expect(report).toContain('2026-11-26T10:00:00.000Z  by share sheet: .csv, 2.4 MB');
  expect(report).toContain('speech no, vibration untried');
  expect(report).toContain('Store: 2.5 MB used, 3 engines, 7 tests');
  expect(report).toContain('samples 10 arrived, 8 stored');
  expect(report).toContain('none yet');
  expect(supportReport({ ...FACTS, errors: ['store: StoreProblem full'] })).toContain(
    'store: StoreProblem full',
  );
});

it('does not report an empty store where the store does not answer', () => {
  expect(supportReport({ ...FACTS, counts: null })).not.toContain('0 tests');
});
