/**
 * Every radio fault, as changes to the packets and the link: for the capture alone, on fake timers, and for the whole app in
 * a browser.
 */
import { makeEngine } from '../../simulator/engine.ts';
import type { RadioOptions } from '../../simulator/radio.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { GapReason } from '../../worker/core/trace.ts';
import { PACKED_NO_READING } from '../../worker/wire/packed-stream.ts';
import { CHARACTERISTICS } from '../../worker/wire/uuids.ts';
import { packetsOf, type TimedPacket } from './play.ts';
import { type EmulatedTransducer, makeTransducer, type TransducerKind } from './transducer.ts';

/** Operations of a test on a transducer, scripted or emulated. */
export interface Transmitter {
  notify(uuid: string, bytes: Uint8Array): boolean;
  dropLink(): void;
  die(): void;
}

/** One event of the radio. */
export interface AirEvent {
  readonly dueS: number;
  /** A notification... */
  readonly bytes?: Uint8Array<ArrayBuffer>;
  /** ...or something done to the transducer. */
  readonly act?: (device: Transmitter) => void;
}

/** Counters of the transducer when the cranking begins. */
export type Link = Pick<RadioOptions, 'firstSequence' | 'deviceStartUs'>;

export interface Fault {
  readonly name: string;
  /** Turns the packets of a good link into the events of the faulty one. */
  readonly air: (packets: readonly TimedPacket[]) => readonly AirEvent[];
  readonly link?: Link;
  /** Default: a packed stream. */
  readonly kind?: TransducerKind;
  /** Reason that the stored take must give for its missing samples; absent when none is missing. */
  readonly gap?: GapReason | readonly GapReason[];
  /** Every number sent is stored, up to the rest before and after. */
  readonly whole?: boolean;
  /** The sensor does not return: the take must be stored as it is. */
  readonly ends?: boolean;
}

/** Long enough for the zero on a busy machine. */
export const REST_S = 2.5;
/** Enough to be left over when a busy machine takes seconds to restore a lost link. */
const STROKES = 12;
const CRANKING = {
  engine: makeEngine({ layout: presetLayout('inline', 4) }),
  cylinder: 1,
  rig: OPEN_RIG,
  strokes: STROKES,
  restBeforeS: REST_S,
  // The hold check starts with the batch that showed the end of cranking, which may be late on a busy machine.
  restAfterS: 5,
};

export { STROKES as STROKES_CRANKED };

/** A moment in the middle of the cranking. */
const FAULT_S = REST_S + 2;

/** The packets of this transducer while the engine is cranked. */
export const cranked = (transducer: EmulatedTransducer, link: Link = {}): readonly TimedPacket[] =>
  packetsOf(transducer, CRANKING, link);

export const transducerFor = ({ kind = 'packed' }: Fault): EmulatedTransducer => makeTransducer(kind);

const near = (packet: TimedPacket, lengthS = 0.2): boolean =>
  packet.dueS >= FAULT_S && packet.dueS < FAULT_S + lengthS;

/** The packet with some of its parts replaced. */
function remade(packet: TimedPacket, change: (view: DataView) => void): TimedPacket {
  const bytes = packet.bytes.slice();
  change(new DataView(bytes.buffer));
  return { ...packet, bytes };
}

const remadeNear = (change: (view: DataView) => void) => (packets: readonly TimedPacket[]) =>
  packets.map((packet) => (near(packet) ? remade(packet, change) : packet));

const byTime = (events: readonly AirEvent[]): AirEvent[] => [...events].sort((a, b) => a.dueS - b.dueS);

const dropAt = (dueS: number): AirEvent => ({ dueS, act: (device) => device.dropLink() });

const cutTo = (length: (whole: number) => number) => (packets: readonly TimedPacket[]) =>
  packets.map((packet, i) =>
    near(packet, 1) && i % 10 === 0
      ? { ...packet, bytes: packet.bytes.slice(0, length(packet.bytes.length)) }
      : packet,
  );

/** Swaps the packets of each pair: both when the second is due (`together`), or each when the other was due. */
const swapped = (together: boolean) => (packets: readonly TimedPacket[]) =>
  packets.map((packet, i) => {
    const other = i % 4 === 0 ? packets[i + 1] : i % 4 === 1 ? packets[i - 1] : undefined;
    if (!other) return packet;
    return { bytes: other.bytes, dueS: together ? Math.max(packet.dueS, other.dueS) : packet.dueS };
  });

const FIRST_SAMPLE = 8;

const everySample = (raw: number) => (view: DataView) => {
  for (let at = FIRST_SAMPLE; at < view.byteLength; at += 2) view.setInt16(at, raw, true);
};

/** Two-octet floats that are not numbers (IEEE 11073-20601, recalled), and one beyond any pressure. */
const specialFaults = (specials: readonly (readonly [what: string, bits: number])[]): readonly Fault[] =>
  specials.map(([what, bits]) => ({
    name: `a value that ${what}`,
    kind: 'sfloat',
    air: remadeNear((view) => view.setUint16(0, bits, true)),
    gap: 'silence',
  }));

/** A device that restarts: both its counters begin again. */
function restarted(packets: readonly TimedPacket[]): readonly AirEvent[] {
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
}

/** One fault of each kind, also run in the browser. */
export const FAULTS: readonly Fault[] = [
  {
    name: 'the link lost while cranking, and restored',
    air: (packets) => byTime([...packets, dropAt(FAULT_S)]),
    gap: 'link-lost',
  },
  {
    name: 'silence while connected',
    air: (packets) => packets.filter((packet) => !near(packet, 1.2)),
    gap: ['packets-lost', 'silence'],
  },
  {
    name: 'no packets for half a second, then all of them at once',
    air: (packets) =>
      packets.map((packet) => (near(packet, 0.5) ? { ...packet, dueS: FAULT_S + 0.5 } : packet)),
    whole: true,
  },
  {
    name: 'every packet sent twice',
    air: (packets) => packets.flatMap((packet) => [packet, packet]),
    whole: true,
  },
  {
    name: 'neighbours swapped as the packet number wraps',
    air: swapped(true),
    // Number 65 535 is the first of a pair.
    link: { firstSequence: 65_535 - 4 * 38 },
    whole: true,
  },
  {
    name: 'a packet lost as the packet number wraps',
    air: (packets) =>
      packets.filter(
        ({ bytes }) => ![65_534, 65_535, 0, 1].includes(new DataView(bytes.buffer).getUint16(0, true)),
      ),
    link: { firstSequence: 65_536 - 150 },
    gap: 'packets-lost',
  },
  {
    name: 'packets cut in the middle',
    air: cutTo((whole) => 8 + 2 * Math.floor((whole - 8) / 4)),
    gap: 'packets-lost',
  },
  {
    name: 'the device clock wrapping',
    air: (packets) => packets,
    link: { deviceStartUs: 2 ** 32 - FAULT_S * 1e6 },
    whole: true,
  },
  { name: 'the device restarting while cranking', air: restarted, gap: 'clock-reset' },
  {
    name: 'samples beyond the declared range',
    air: remadeNear(everySample(30_000)),
    gap: ['silence', 'packets-lost'],
  },
  ...specialFaults([
    ['is not a number', 0x07ff],
    ['is infinite', 0x07fe],
    ['is reserved', 0x0801],
  ]),
  {
    name: 'an empty battery',
    air: (packets) =>
      byTime([
        ...packets.filter((packet) => packet.dueS < FAULT_S + 1),
        ...[5, 2, 1, 0].map((percent, i) => ({
          dueS: FAULT_S + i * 0.2,
          act: (device: Transmitter) =>
            void device.notify(CHARACTERISTICS.batteryLevel, Uint8Array.of(percent)),
        })),
        { dueS: FAULT_S + 1, act: (device) => device.die() },
      ]),
    ends: true,
  },
];

/** More faults of the same kinds, and those that a busy machine could confuse with another fault. */
export const MORE_FAULTS: readonly Fault[] = [
  { name: 'no fault', air: (packets) => packets, whole: true },
  {
    name: 'packets lost while cranking',
    air: (packets) => packets.filter((packet) => !near(packet)),
    gap: 'packets-lost',
  },
  {
    name: 'every tenth packet lost',
    air: (packets) => packets.filter((_, i) => i % 10 !== 0),
    gap: 'packets-lost',
  },
  {
    name: 'the link lost twice',
    air: (packets) => byTime([...packets, dropAt(FAULT_S - 1.2), dropAt(FAULT_S + 1)]),
    gap: 'link-lost',
  },
  {
    name: 'a packet repeated a second later',
    air: (packets) =>
      byTime([
        ...packets,
        ...packets.filter((_, i) => i % 25 === 0).map((packet) => ({ ...packet, dueS: packet.dueS + 1 })),
      ]),
    whole: true,
  },
  { name: 'neighbours swapped', air: swapped(true), whole: true },
  { name: 'packets cut in the middle of a sample', air: cutTo((whole) => whole - 1), gap: 'packets-lost' },
  { name: 'packets cut to their header', air: cutTo(() => 8), gap: 'packets-lost' },
  { name: 'empty packets', air: cutTo(() => 0), gap: 'packets-lost' },
  {
    name: 'the packet number wrapping',
    air: (packets) => packets,
    link: { firstSequence: 65_536 - 150 },
    whole: true,
  },
  {
    name: '"no reading" samples',
    air: remadeNear(everySample(PACKED_NO_READING)),
    gap: ['silence', 'packets-lost'],
  },
  {
    name: 'a period of zero',
    air: remadeNear((view) => view.setUint16(6, 0, true)),
    gap: 'packets-lost',
  },
  ...specialFaults([
    ['is infinite below zero', 0x0802],
    ['has no value at this resolution', 0x0800],
    ['is beyond any pressure', 0x77d0],
  ]),
  { name: 'neighbours swapped, each at its own time', air: swapped(false), whole: true },
];

/** Whether `all` contains all of `part`, in this order. */
export function standsIn(part: readonly number[], all: readonly number[]): boolean {
  let at = 0;
  for (const value of part) {
    while (at < all.length && all[at] !== value) at++;
    if (at === all.length) return false;
    at++;
  }
  return true;
}

/** Whether these are samples at an even rate without a hole. */
export function areEven(timeS: Float64Array, rateHz: number): boolean {
  const periodS = 1 / rateHz;
  return timeS.every((at, i) => i === 0 || Math.abs(at - timeS[i - 1]! - periodS) < 0.6 * periodS);
}

/** The stretch of `all` with the start and the length of `part`. */
export function stretchLike(part: readonly number[], all: readonly number[]): readonly number[] {
  const from = all.findIndex((_, i) => part.slice(0, 200).every((value, k) => value === all[i + k]));
  return all.slice(from, from + part.length);
}
