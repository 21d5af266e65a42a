/**
 * The packed stream over a cable. A cable has no packets, so each packet is sent as a frame: exponent (int8), unit
 * (uint16), the packet, and a CRC-16; little endian, encoded with COBS and ended by an octet 0.
 */
import { type Decoded, decoded, refused } from './decoded.ts';
import { decodePackedPacket, encodePackedPacket, type PackedPacket } from './packed-stream.ts';
import { KPA_PER_UNIT, type PresentationFormat } from './presentation-format.ts';

/** Exponent and unit of the samples, as in a presentation format. */
export type FrameFormat = Pick<PresentationFormat, 'exponent' | 'unit'>;

/** One frame, decoded. */
export interface FramedPacket {
  readonly format: FrameFormat;
  readonly packet: PackedPacket;
}

const HEAD_BYTES = 3;
const CRC_BYTES = 2;
/** Format type of the samples: sint16. */
const SINT16 = 0x0e;
/** Longest frame that is collected, octets as sent. A longer one is noise. */
const LONGEST_FRAME = 2048;

/** The presentation format that a frame stands for. */
export function frameFormat({ exponent, unit }: FrameFormat): PresentationFormat {
  return { format: SINT16, exponent, unit, namespace: 1, description: 0 };
}

/** Encodes one packet as a frame, with the octet 0 at its end. */
export function encodeFrame(packet: PackedPacket, { exponent, unit }: FrameFormat): Uint8Array<ArrayBuffer> {
  const body = encodePackedPacket(packet);
  const bytes = new Uint8Array(HEAD_BYTES + body.length + CRC_BYTES);
  const view = new DataView(bytes.buffer);
  view.setInt8(0, exponent);
  view.setUint16(1, unit, true);
  bytes.set(body, HEAD_BYTES);
  const end = HEAD_BYTES + body.length;
  view.setUint16(end, crc16(bytes.subarray(0, end)), true);
  return stuffed(bytes);
}

/** Decodes the octets between two zeros. Refused when the check fails, the unit is no pressure or the packet is bad. */
export function decodeFrame(octets: Uint8Array): Decoded<FramedPacket> {
  const bytes = unstuffed(octets);
  if (bytes === undefined || bytes.length < HEAD_BYTES + CRC_BYTES) {
    return refused('too-short', `A frame of ${octets.length} octets was cut or disturbed.`);
  }
  const view = new DataView(bytes.buffer);
  const end = bytes.length - CRC_BYTES;
  if (view.getUint16(end, true) !== crc16(bytes.subarray(0, end))) {
    return refused('bad-check', `The check of a frame of ${octets.length} octets fails.`);
  }
  const format = { exponent: view.getInt8(0), unit: view.getUint16(1, true) };
  if (!KPA_PER_UNIT.has(format.unit)) {
    return refused('not-pressure', `Unit 0x${format.unit.toString(16)} is not a pressure.`);
  }
  const packet = decodePackedPacket(new DataView(bytes.buffer, HEAD_BYTES, end - HEAD_BYTES));
  return packet.ok ? decoded({ format, packet: packet.value }) : packet;
}

/** Cuts a stream into frames. */
export interface FrameSplitter {
  /** The frames that are complete with these octets, each without its zero. */
  push(view: DataView): readonly Uint8Array[];
  /** Drops everything up to the next zero, as at the start of a stream, which may begin within a frame. */
  reset(): void;
}

/** A splitter at the start of a stream. */
export function createFrameSplitter(): FrameSplitter {
  let collected: number[] | undefined;
  return {
    push(view) {
      const frames: Uint8Array[] = [];
      for (let i = 0; i < view.byteLength; i++) {
        const octet = view.getUint8(i);
        if (octet === 0) {
          if (collected !== undefined && collected.length > 0) frames.push(Uint8Array.from(collected));
          collected = [];
        } else if (collected !== undefined) {
          if (collected.length < LONGEST_FRAME) collected.push(octet);
          else collected = undefined;
        }
      }
      return frames;
    },
    reset() {
      collected = undefined;
    },
  };
}

/** CRC-16 with polynomial 0x1021 and start value 0xFFFF, not reflected ("CRC-16/IBM-3740", check value 0x29B1). */
export function crc16(bytes: Uint8Array): number {
  let crc = 0xffff;
  for (const byte of bytes) {
    crc ^= byte << 8;
    for (let bit = 0; bit < 8; bit++) crc = (crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1) & 0xffff;
  }
  return crc;
}

/** Longest run without a zero that one COBS code octet covers. */
const COBS_RUN = 254;

/** Consistent overhead byte stuffing, with the zero at the end. */
function stuffed(bytes: Uint8Array): Uint8Array<ArrayBuffer> {
  const out = [0];
  let codeAt = 0;
  for (const byte of bytes) {
    if (byte !== 0) out.push(byte);
    if (byte === 0 || out.length - codeAt > COBS_RUN) {
      out[codeAt] = out.length - codeAt;
      codeAt = out.length;
      out.push(0);
    }
  }
  out[codeAt] = out.length - codeAt;
  out.push(0);
  return Uint8Array.from(out);
}

/** `undefined` when a code octet points beyond the end. */
function unstuffed(octets: Uint8Array): Uint8Array<ArrayBuffer> | undefined {
  const out: number[] = [];
  let at = 0;
  while (at < octets.length) {
    const code = octets[at] ?? 0;
    const next = at + code;
    if (code === 0 || next > octets.length) return undefined;
    out.push(...octets.subarray(at + 1, next));
    at = next;
    if (code <= COBS_RUN && at < octets.length) out.push(0);
  }
  return Uint8Array.from(out);
}
