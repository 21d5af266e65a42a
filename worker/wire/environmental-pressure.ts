import type { Decoded } from './decoded.ts';
import { decodePressure, encodePressure, type PresentationFormat, UNITS } from './presentation-format.ts';

/**
 * Pressure characteristic 0x2A6D of Environmental Sensing: uint32 in tenths of a pascal. It is unsigned, so always
 * absolute (Bluetooth SIG, GATT definitions). The format holds with or without a descriptor.
 */
const ENVIRONMENTAL_PRESSURE: PresentationFormat = {
  format: 0x08,
  exponent: -1,
  unit: UNITS.pascal,
  namespace: 1,
  description: 0,
};

/** All ones, which is 429 MPa: far above any engine, but sent by chips that have no reading. */
const NO_READING = 0xffff_ffff;

/** Decodes absolute kilopascals; NaN for the value of all ones. Refused unless there are 4 octets. */
export function decodeEnvironmentalPressure(view: DataView): Decoded<number> {
  const result = decodePressure(view, ENVIRONMENTAL_PRESSURE);
  return result.ok && view.getUint32(0, true) === NO_READING ? { ok: true, value: Number.NaN } : result;
}

/** Encodes an absolute pressure in kilopascals; negative pressures are sent as 0. */
export function encodeEnvironmentalPressure(pressureKpa: number): Uint8Array<ArrayBuffer> {
  return encodePressure(pressureKpa, ENVIRONMENTAL_PRESSURE) ?? new Uint8Array(4);
}
