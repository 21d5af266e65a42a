/**
 * The packed stream: packets of a fast transducer with sequence number and device clock. Little endian: uint16
 * sequence, uint32 microseconds of the first sample, uint16 microseconds between samples, int16 samples to the end.
 * Exponent and unit of the samples are in the characteristic's 0x2904 descriptor.
 */
import { type Decoded, decoded, refused } from './decoded.ts';

/** Content of one packet. */
export interface PackedPacket {
  /** Packet number; wraps after 65 535. */
  readonly sequence: number;
  /** Device clock at the first sample, microseconds; wraps after 2^32 (71.6 minutes). */
  readonly deviceTimeUs: number;
  /** Microseconds between samples, 1 to 65 535. */
  readonly samplePeriodUs: number;
  /** Raw numbers in the unit of the descriptor; `PACKED_NO_READING` where the sensor had no reading. */
  readonly samples: Int16Array;
}

const PACKED_HEADER_BYTES = 8;

/** The most negative number means "no reading". */
export const PACKED_NO_READING = -0x8000;

/** Samples that fit in a notification, whose payload is ATT_MTU - 3 octets (20 unless a larger MTU was agreed). */
export function packedSamplesPerNotification(attMtu: number): number {
  return Math.max(0, Math.floor((attMtu - 3 - PACKED_HEADER_BYTES) / 2));
}

/** Encodes a packet. `sequence` and `deviceTimeUs` may exceed their range; they are wrapped here. */
export function encodePackedPacket(packet: PackedPacket): Uint8Array<ArrayBuffer> {
  const view = new DataView(new ArrayBuffer(PACKED_HEADER_BYTES + 2 * packet.samples.length));
  view.setUint16(0, packet.sequence % 2 ** 16, true);
  view.setUint32(2, Math.round(packet.deviceTimeUs) % 2 ** 32, true);
  view.setUint16(6, packet.samplePeriodUs, true);
  packet.samples.forEach((sample, i) => {
    view.setInt16(PACKED_HEADER_BYTES + 2 * i, sample, true);
  });
  return new Uint8Array(view.buffer);
}

/**
 * Decodes a packet. Refused as `too-short` without a whole sample, `wrong-length` with half a sample at the end, or
 * `bad-period` with a period of 0.
 */
export function decodePackedPacket(view: DataView): Decoded<PackedPacket> {
  const sampleBytes = view.byteLength - PACKED_HEADER_BYTES;
  if (sampleBytes < 2) {
    return refused('too-short', `A packet has at least 10 octets; this one has ${view.byteLength}.`);
  }
  if (sampleBytes % 2 !== 0) {
    return refused('wrong-length', `A packet of ${view.byteLength} octets ends in half a sample.`);
  }
  const samplePeriodUs = view.getUint16(6, true);
  if (samplePeriodUs === 0) return refused('bad-period', 'The sample period is 0 microseconds.');
  const samples = new Int16Array(sampleBytes / 2);
  for (let i = 0; i < samples.length; i++) samples[i] = view.getInt16(PACKED_HEADER_BYTES + 2 * i, true);
  return decoded({
    sequence: view.getUint16(0, true),
    deviceTimeUs: view.getUint32(2, true),
    samplePeriodUs,
    samples,
  });
}
