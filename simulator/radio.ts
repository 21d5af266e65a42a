import type { SampleBlock } from '../worker/core/trace.ts';
import { encodeEnvironmentalPressure } from '../worker/wire/environmental-pressure.ts';
import {
  encodePackedPacket,
  PACKED_NO_READING,
  packedSamplesPerNotification,
} from '../worker/wire/packed-stream.ts';
import {
  encodePressure,
  kpaToRaw,
  type PresentationFormat,
  UNITS,
} from '../worker/wire/presentation-format.ts';
import type { StreamLayout } from '../worker/wire/stream-decoder.ts';
import { encodeTextLine } from '../worker/wire/text-lines.ts';
import type { Random } from './random.ts';

/** Layouts that the simulated radio can send. */
export type RadioLayout = Exclude<StreamLayout, { readonly kind: 'custom' | 'framed' | 'lines' }>;

interface Span {
  readonly startS: number;
  readonly endS: number;
}

/** Properties of the link. Times are seconds on the clock of the samples. */
export interface RadioSpec {
  readonly layout: RadioLayout;
  /** Sample rate; sets the sample period in packed packets. */
  readonly rateHz: number;
  readonly attMtu: number;
  readonly connectionIntervalS: number;
  /** Mean of the exponentially distributed delay between radio and application. */
  readonly delayS: number;
  /** Shares of packets that are lost or sent twice, 0 to 1. */
  readonly loss: number;
  readonly duplicates: number;
  /** Times in which packets are held back; afterwards they all arrive at once. */
  readonly stalls: readonly Span[];
  /** Times without a link: samples taken then are lost. */
  readonly dropouts: readonly Span[];
  /** Initial values of the packet counter and the device clock. */
  readonly firstSequence: number;
  readonly deviceStartUs: number;
}

interface RadioPacket {
  readonly kind: 'packet';
  readonly arrivalS: number;
  readonly bytes: Uint8Array<ArrayBuffer>;
}

type RadioEvent =
  | RadioPacket
  | { readonly kind: 'link-lost'; readonly arrivalS: number }
  | { readonly kind: 'link-back'; readonly arrivalS: number };

/** A simulated link from samples to packets with arrival times. */
export interface Radio {
  /** Accepts measured samples in ascending order of time. */
  push(block: SampleBlock): void;
  /** Events that arrive at the host up to `untilS`, each returned once, in the order of arrival. */
  due(untilS: number): RadioEvent[];
  /** Sends a packed packet that is not full yet. */
  flush(): void;
}

/**
 * Format for a sensor range, kPa. Two octets in tenths of a psi reach 22 MPa; in hundreds of pascals they are finer and
 * reach 3.2 MPa.
 */
export function packedFormat(sensorMaxKpa: number): PresentationFormat {
  const psi = sensorMaxKpa > 3200;
  return {
    format: 0x0e,
    exponent: psi ? -1 : 2,
    unit: psi ? UNITS.psi : UNITS.pascal,
    namespace: 1,
    description: 0,
  };
}

/** Options of `makeRadio`. */
export type RadioOptions = Partial<RadioSpec> & Pick<RadioSpec, 'layout' | 'rateHz'>;

/** A link without faults, with `options` applied. */
export function makeRadio(options: RadioOptions): RadioSpec {
  return {
    attMtu: 185,
    connectionIntervalS: 0.015,
    delayS: 0.001,
    loss: 0,
    duplicates: 0,
    stalls: [],
    dropouts: [],
    firstSequence: 0,
    deviceStartUs: 0,
    ...options,
  };
}

/** Longest time span of a packet; it is sent when it covers this or is full. */
const LONGEST_PACKET_S = 0.03;

/** Creates a link that encodes and transmits samples. Deterministic for a given `random`. */
export function createRadio(spec: RadioSpec, random: Random): Radio {
  const { layout } = spec;
  const chance = random.fork(1);
  const delays = random.fork(2);
  const periodUs = Math.max(1, Math.min(65535, Math.round(1e6 / spec.rateHz)));
  const perPacket =
    layout.kind === 'packed'
      ? Math.max(
          1,
          Math.min(packedSamplesPerNotification(spec.attMtu), Math.ceil(LONGEST_PACKET_S * spec.rateHz)),
        )
      : 1;
  let sequence = spec.firstSequence;
  let waitingS: number[] = [];
  let waitingKpa: number[] = [];
  let lastArrivalS = Number.NEGATIVE_INFINITY;
  let queue: RadioEvent[] = spec.dropouts.flatMap((d): RadioEvent[] => [
    { kind: 'link-lost', arrivalS: d.startS },
    { kind: 'link-back', arrivalS: d.endS },
  ]);

  const within = (spans: readonly Span[], timeS: number) =>
    spans.find((s) => timeS >= s.startS && timeS < s.endS);

  /** Arrival time of a packet ready at `readyS`: at a connection event, after all earlier packets. */
  const arrival = (readyS: number): number => {
    const eventS = Math.ceil(readyS / spec.connectionIntervalS) * spec.connectionIntervalS;
    const onAirS = within(spec.stalls, eventS)?.endS ?? eventS;
    const delayS = -spec.delayS * Math.log(1 - delays.next());
    lastArrivalS = Math.max(lastArrivalS, onAirS + delayS);
    return lastArrivalS;
  };

  const send = (bytes: Uint8Array<ArrayBuffer>, readyS: number): void => {
    // Both chances are drawn for every packet, so that one setting does not change the draws of the other.
    const isLost = chance.chance(spec.loss);
    const isDouble = chance.chance(spec.duplicates);
    const arrivalS = arrival(readyS);
    if (isLost || within(spec.dropouts, readyS) || within(spec.dropouts, arrivalS)) return;
    queue.push({ kind: 'packet', arrivalS, bytes });
    if (isDouble) queue.push({ kind: 'packet', arrivalS, bytes });
  };

  const flush = (): void => {
    const readyS = waitingS.at(-1);
    if (readyS === undefined || layout.kind !== 'packed') return;
    send(
      encodePackedPacket({
        sequence: sequence++,
        deviceTimeUs: spec.deviceStartUs + waitingS[0]! * 1e6,
        samplePeriodUs: periodUs,
        samples: Int16Array.from(waitingKpa, (kpa) => packedRaw(kpa, layout.format)),
      }),
      readyS,
    );
    waitingS = [];
    waitingKpa = [];
  };

  return {
    push: (block) => {
      block.pressureKpa.forEach((kpa, i) => {
        const timeS = block.timeS[i]!;
        if (layout.kind === 'packed') {
          waitingS.push(timeS);
          waitingKpa.push(kpa);
          if (waitingS.length >= perPacket) flush();
        } else {
          send(encodeOne(kpa, layout), timeS);
        }
      });
    },
    due: (untilS) => {
      const arrived = queue.filter((e) => e.arrivalS <= untilS).sort((a, b) => a.arrivalS - b.arrivalS);
      queue = queue.filter((e) => e.arrivalS > untilS);
      return arrived;
    },
    flush,
  };
}

function packedRaw(kpa: number, format: PresentationFormat): number {
  const raw = Math.round(kpaToRaw(kpa, format) ?? PACKED_NO_READING);
  return Math.min(32767, Math.max(-32767, raw));
}

function encodeOne(kpa: number, layout: Exclude<RadioLayout, { kind: 'packed' }>): Uint8Array<ArrayBuffer> {
  switch (layout.kind) {
    case 'environmental':
      return encodeEnvironmentalPressure(kpa);
    case 'described':
      return encodePressure(kpa, layout.format) ?? new Uint8Array(0);
    case 'text': {
      const unit = layout.kpaPerUnit ?? 1;
      const digits = Math.max(0, Math.ceil(2 - Math.log10(1 / unit)));
      return encodeTextLine(kpa / unit, digits, layout.kpaPerUnit === undefined ? 'kPa' : '');
    }
  }
}
