/**
 * Everything a radio does to a capture, from the packet to the stored take. After each fault the capture has gone on, or
 * has ended with its take stored; what is missing is said, and every stored number is one that the sensor sent.
 */
import { afterAll, afterEach, beforeEach, expect, it, vi } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { GapReason } from '../../worker/core/trace.ts';
import { encodePackedPacket, PACKED_NO_READING } from '../../worker/wire/packed-stream.ts';
import { CHARACTERISTICS } from '../../worker/wire/uuids.ts';
import { packetsOf, pressuresIn, type TimedPacket } from '../support/play.ts';
import { type AirEvent, radioWorld } from '../support/radio-world.ts';
import { makeTransducer } from '../support/transducer.ts';

const transducer = makeTransducer('packed');
const engine = makeEngine({ layout: presetLayout('inline', 4) });
const CRANKING = { engine, cylinder: 1, rig: OPEN_RIG, strokes: 10, restBeforeS: 2.5, restAfterS: 4.5 };
/** In the middle of the cranking. */
const FAULT_S = 5;

const clean = packetsOf(transducer, CRANKING);

interface Fault {
  readonly name: string;
  readonly air: (packets: readonly TimedPacket[]) => readonly AirEvent[];
  /** Why samples are missing, as the stored take must say; nothing missing when not given. */
  readonly gap?: GapReason | readonly GapReason[];
  /** Every number sent is stored, up to the rest before and after. */
  readonly whole?: boolean;
  /** The sensor does not come back: the take must be stored as it is. */
  readonly ends?: boolean;
}

const near = (packet: TimedPacket, lengthS = 0.2): boolean =>
  packet.dueS >= FAULT_S && packet.dueS < FAULT_S + lengthS;

/** The packet with some of its parts replaced. */
function remade(packet: TimedPacket, change: (view: DataView) => void): TimedPacket {
  const bytes = packet.bytes.slice();
  change(new DataView(bytes.buffer));
  return { ...packet, bytes };
}

const byTime = (events: readonly AirEvent[]): AirEvent[] => [...events].sort((a, b) => a.dueS - b.dueS);

const cutTo = (length: (whole: number) => number) => (packets: readonly TimedPacket[]) =>
  packets.map((packet, i) =>
    near(packet, 1) && i % 10 === 0
      ? { ...packet, bytes: packet.bytes.slice(0, length(packet.bytes.length)) }
      : packet,
  );

const FIRST_SAMPLE = 8;

const faults: readonly Fault[] = [
  { name: 'nothing at all', air: (packets) => packets, whole: true },
  {
    name: 'packets lost in mid-crank',
    air: (packets) => packets.filter((packet) => !near(packet)),
    gap: 'packets-lost',
  },
  {
    name: 'every tenth packet lost',
    air: (packets) => packets.filter((_, i) => i % 10 !== 0),
    gap: 'packets-lost',
  },
  {
    name: 'the link lost in mid-crank, and back',
    air: (packets) => byTime([...packets, { dueS: FAULT_S, act: (device) => device.drop() }]),
    gap: 'link-lost',
  },
  {
    name: 'the link lost twice',
    air: (packets) =>
      byTime([
        ...packets,
        { dueS: FAULT_S - 1, act: (device) => device.drop() },
        { dueS: FAULT_S + 1.5, act: (device) => device.drop() },
      ]),
    gap: 'link-lost',
  },
  {
    name: 'a late word of the old link while the new one stands',
    air: (packets) => byTime([...packets, { dueS: FAULT_S, act: (device) => device.lateWord() }]),
    whole: true,
  },
  {
    name: 'silence while connected',
    air: (packets) => packets.filter((packet) => !near(packet, 1.2)),
    gap: ['packets-lost', 'silence'],
  },
  {
    name: 'nothing for half a second, then all of it at once',
    air: (packets) =>
      packets.map((packet) => (near(packet, 0.5) ? { ...packet, dueS: FAULT_S + 0.5 } : packet)),
    whole: true,
  },
  {
    name: 'every packet twice',
    air: (packets) => packets.flatMap((packet) => [packet, packet]),
    whole: true,
  },
  {
    name: 'a packet again, a second late',
    air: (packets) =>
      byTime([
        ...packets,
        ...packets.filter((_, i) => i % 25 === 0).map((packet) => ({ ...packet, dueS: packet.dueS + 1 })),
      ]),
    whole: true,
  },
  {
    name: 'neighbours swapped',
    air: (packets) =>
      packets.map((packet, i) => {
        const other = i % 4 === 0 ? packets[i + 1] : i % 4 === 1 ? packets[i - 1] : undefined;
        return other ? { ...packet, bytes: other.bytes } : packet;
      }),
    whole: true,
  },
  {
    name: 'packets cut in the middle',
    air: cutTo((whole) => 8 + 2 * Math.floor((whole - 8) / 4)),
    gap: 'packets-lost',
  },
  { name: 'packets cut in the middle of a sample', air: cutTo((whole) => whole - 1), gap: 'packets-lost' },
  { name: 'packets cut to their header', air: cutTo(() => 8), gap: 'packets-lost' },
  { name: 'packets of nothing', air: cutTo(() => 0), gap: 'packets-lost' },
  {
    name: 'the packet number wrapping',
    air: () => packetsOf(transducer, CRANKING, { firstSequence: 65_536 - 200 }),
    whole: true,
  },
  {
    name: 'the device clock wrapping',
    air: () => packetsOf(transducer, CRANKING, { deviceStartUs: 2 ** 32 - FAULT_S * 1e6 }),
    whole: true,
  },
  {
    name: 'the device starting anew in mid-crank',
    air: (packets) => {
      const first = packets.findIndex((packet) => packet.dueS >= FAULT_S);
      const startUs = new DataView(packets[first]!.bytes.buffer).getUint32(2, true);
      return packets.map((packet, i) =>
        i < first
          ? packet
          : remade(packet, (view) => {
              view.setUint16(0, i - first, true);
              view.setUint32(2, (view.getUint32(2, true) - startUs + 2 ** 32) % 2 ** 32, true);
            }),
      );
    },
    gap: 'clock-reset',
  },
  {
    name: 'samples that are none',
    air: (packets) =>
      packets.map((packet) =>
        near(packet)
          ? remade(packet, (view) => {
              for (let at = FIRST_SAMPLE; at < view.byteLength; at += 2)
                view.setInt16(at, PACKED_NO_READING, true);
            })
          : packet,
      ),
    gap: ['silence', 'packets-lost'],
  },
  {
    name: 'a period of nothing',
    air: (packets) =>
      packets.map((packet) => (near(packet) ? remade(packet, (view) => view.setUint16(6, 0, true)) : packet)),
    gap: 'packets-lost',
  },
  {
    name: 'a battery that dies',
    air: (packets) =>
      byTime([
        ...packets.filter((packet) => packet.dueS < FAULT_S + 1),
        ...[5, 2, 1, 0].map((percent, i) => ({
          dueS: FAULT_S + i * 0.2,
          act: (device: { notify(uuid: string, bytes: Uint8Array): boolean }) =>
            void device.notify(CHARACTERISTICS.batteryLevel, Uint8Array.of(percent)),
        })),
        {
          dueS: FAULT_S + 1,
          act: (device) => {
            device.drop();
            device.faults.connect = Array.from(
              { length: 200 },
              () => new DOMException('Gone.', 'NetworkError'),
            );
          },
        },
      ]),
    ends: true,
  },
];

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

let tried = 0;
let survived = 0;
afterAll(() => console.log(`radio faults: tried ${tried}, survived ${survived}`));

/** Whether all of `part` stands in `all`, in this order. */
function standsIn(part: readonly number[], all: readonly number[]): boolean {
  let at = 0;
  for (const value of part) {
    while (at < all.length && all[at] !== value) at++;
    if (at === all.length) return false;
    at++;
  }
  return true;
}

const sentKpa = pressuresIn(clean, transducer.layout);

it.each(faults)('survives $name', async ({ air, gap, whole = false, ends = false }) => {
  tried++;
  const world = await radioWorld([transducer]);
  await world.connect();
  await world.arm();
  await world.play(air(clean));
  await world.pass(ends ? 130_000 : 2500);

  const takes = await world.takes();
  expect(takes.map(({ take }) => take.state)).toEqual(['finished']);
  const { trace } = takes[0]!;
  const stored = [...trace.pressureKpa];
  expect(standsIn(stored, sentKpa)).toBe(true);
  expect(trace.timeS.every((timeS, i) => i === 0 || timeS > trace.timeS[i - 1]!)).toBe(true);

  const reasons = new Set(trace.gaps.map(({ reason }) => reason));
  if (gap === undefined) expect(trace.gaps).toEqual([]);
  else for (const reason of reasons) expect([gap].flat()).toContain(reason);
  if (gap !== undefined) expect(trace.gaps.length).toBeGreaterThan(0);
  // From the first stored number to the last, none that was sent is missing.
  if (whole) {
    const from = sentKpa.findIndex((_, i) => stored.slice(0, 200).every((kpa, k) => kpa === sentKpa[i + k]));
    expect(stored).toEqual(sentKpa.slice(from, from + stored.length));
    expect(stored.length).toBeGreaterThan(6000);
  }
  const { connection, result, state } = world.capture;
  expect(state.value.armed).toBe(false);
  if (ends) {
    expect(connection.value.state).toBe('lost');
  } else {
    expect(connection.value.state).toBe('streaming');
    expect(state.value.phase).toBe('done');
    // The clean trace has ten; what fell into a hole is counted as lost, or said to be missing.
    const missingSaid = result.value!.reading.notices.some(({ code }) => code === 'samples-missing');
    expect(result.value!.reading.strokes.length >= 9 || missingSaid).toBe(true);
  }
  survived++;
});

it('takes nothing from the sensor that was left for another', async () => {
  tried++;
  const other = makeTransducer('packed', 2);
  const world = await radioWorld([transducer, other]);
  await world.connect(0);
  await world.play(clean.slice(0, 50), 0);
  await world.connect(1);
  await world.arm();
  const strange = encodePackedPacket({
    sequence: 9,
    deviceTimeUs: 1,
    samplePeriodUs: 1000,
    samples: Int16Array.of(12_345),
  });
  const both = clean.flatMap((packet): AirEvent[] => [
    packet,
    { dueS: packet.dueS, act: () => void world.devices[0]!.notify(transducer.outlet, strange) },
  ]);
  await world.play(both, 1);
  await world.pass(2500);
  const takes = await world.takes();
  expect(takes.map(({ take }) => take.state)).toEqual(['finished']);
  expect(standsIn([...takes[0]!.trace.pressureKpa], sentKpa)).toBe(true);
  expect(takes[0]!.trace.gaps).toEqual([]);
  expect(takes[0]!.take.source?.name).toBe('Fake');
  survived++;
});
