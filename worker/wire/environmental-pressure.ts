import type { Decoded } from './decoded.ts';
import { decodePressure, encodePressure, type PresentationFormat, UNITS } from './presentation-format.ts';

/**
 * Pressure, 0x2A6D, of Environmental Sensing: uint32 in tenths of a pascal, unsigned, so always absolute
 * (Bluetooth SIG, GATT definitions). It has this format whether or not a descriptor says so.
 */
const ENVIRONMENTAL_PRESSURE: PresentationFormat = {
  format: 0x08,
  exponent: -1,
  unit: UNITS.pascal,
  namespace: 1,
  description: 0,
};

/** All ones: a whole sensor range of 429 MPa is no engine, but it is what a chip with no reading sends. */
const NO_READING = 0xffff_ffff;

/** Absolute kilopascals; NaN for the value of all ones. */
export function decodeEnvironmentalPressure(view: DataView): Decoded<number> {
  const result = decodePressure(view, ENVIRONMENTAL_PRESSURE);
  return result.ok && view.getUint32(0, true) === NO_READING ? { ok: true, value: Number.NaN } : result;
}

/** `pressureKpa` is absolute: below vacuum is sent as 0. */
export function encodeEnvironmentalPressure(pressureKpa: number): Uint8Array<ArrayBuffer> {
  return encodePressure(pressureKpa, ENVIRONMENTAL_PRESSURE) ?? new Uint8Array(4);
}
