import { toKpa } from '../core/units.ts';
import { type Decoded, decoded, refused } from './decoded.ts';
import { timesPowerOfTen } from './medfloat.ts';
import { NUMERIC_FORMATS } from './numeric-format.ts';

/** The Characteristic Presentation Format descriptor 0x2904, which describes the value of its characteristic. */
export interface PresentationFormat {
  /** Format type: a key of `NUMERIC_FORMATS`, or `TEXT_FORMAT`. */
  readonly format: number;
  /** Power of ten for integer formats. */
  readonly exponent: number;
  /** 16-bit unit number: a key of `KPA_PER_UNIT` for pressures. */
  readonly unit: number;
  /** 1 for the Bluetooth SIG's own descriptions. */
  readonly namespace: number;
  readonly description: number;
}

/** Format type of UTF-8 text. Its unit applies to lines without a unit of their own. */
export const TEXT_FORMAT = 0x19;

/** Bluetooth SIG unit numbers of the supported units of pressure. */
export const UNITS = { pascal: 0x2724, bar: 0x2780, millimetreOfMercury: 0x2781, psi: 0x27a5 } as const;

/** Conventional millimetre of mercury in kPa: 13 595.1 kg/m3 x 9.80665 m/s2 x 1 mm. */
export const KPA_PER_MMHG = (13595.1 * 9.80665 * 0.001) / 1000;

/** Kilopascals per unit, by the unit number of a presentation format. */
export const KPA_PER_UNIT: ReadonlyMap<number, number> = new Map([
  [UNITS.pascal, toKpa(1, 'Pa')],
  [UNITS.bar, toKpa(1, 'bar')],
  [UNITS.millimetreOfMercury, KPA_PER_MMHG],
  [UNITS.psi, toKpa(1, 'psi')],
]);

/** Parses the 7 octets of the descriptor. Any other length is refused; the values are not checked. */
export function parsePresentationFormat(view: DataView): Decoded<PresentationFormat> {
  if (view.byteLength !== 7) {
    return refused('wrong-length', `The presentation format has ${view.byteLength} octets; it must have 7.`);
  }
  return decoded({
    format: view.getUint8(0),
    exponent: view.getInt8(1),
    unit: view.getUint16(2, true),
    namespace: view.getUint8(4),
    description: view.getUint16(5, true),
  });
}

/** Encodes the 7 octets of the descriptor. */
export function encodePresentationFormat(format: PresentationFormat): Uint8Array<ArrayBuffer> {
  const view = new DataView(new ArrayBuffer(7));
  view.setUint8(0, format.format);
  view.setInt8(1, format.exponent);
  view.setUint16(2, format.unit, true);
  view.setUint8(4, format.namespace);
  view.setUint16(5, format.description, true);
  return new Uint8Array(view.buffer);
}

/** Converts a raw number to kilopascals; `undefined` when the unit of `format` is not a pressure. */
export function rawToKpa(raw: number, format: PresentationFormat): number | undefined {
  const kpaPerUnit = KPA_PER_UNIT.get(format.unit);
  if (kpaPerUnit === undefined) return undefined;
  const isFloat = NUMERIC_FORMATS.get(format.format)?.integer === false;
  return (isFloat ? raw : timesPowerOfTen(raw, format.exponent)) * kpaPerUnit;
}

/** Inverse of `rawToKpa`, not rounded; `undefined` when the unit of `format` is not a pressure. */
export function kpaToRaw(pressureKpa: number, format: PresentationFormat): number | undefined {
  const kpaPerUnit = KPA_PER_UNIT.get(format.unit);
  if (kpaPerUnit === undefined) return undefined;
  const isFloat = NUMERIC_FORMATS.get(format.format)?.integer === false;
  return isFloat ? pressureKpa / kpaPerUnit : timesPowerOfTen(pressureKpa / kpaPerUnit, -format.exponent);
}

/** Whether the value is a number in a unit of pressure. */
export function describesPressure(format: PresentationFormat): boolean {
  return NUMERIC_FORMATS.has(format.format) && KPA_PER_UNIT.has(format.unit);
}

/**
 * Decodes the value of a self-describing characteristic, in kilopascals as the sensor reports them. NaN or an
 * infinity when the sensor reports no value. Refused when the bytes do not fit the format or it is not a pressure.
 */
export function decodePressure(view: DataView, format: PresentationFormat): Decoded<number> {
  const numeric = NUMERIC_FORMATS.get(format.format);
  if (numeric === undefined) return refused('not-numeric', `Format ${format.format} is not a number.`);
  if (view.byteLength !== numeric.size) {
    return refused(
      view.byteLength < numeric.size ? 'too-short' : 'wrong-length',
      `A ${numeric.name} has ${numeric.size} octets; the value has ${view.byteLength}.`,
    );
  }
  const kpa = rawToKpa(numeric.read(view, 0, true), format);
  return kpa === undefined
    ? refused('not-pressure', `Unit 0x${format.unit.toString(16)} is not a pressure.`)
    : decoded(kpa);
}

/**
 * Encodes a pressure in kilopascals; integers are rounded and clamped. `undefined` when `format` does not describe a
 * pressure.
 */
export function encodePressure(
  pressureKpa: number,
  format: PresentationFormat,
): Uint8Array<ArrayBuffer> | undefined {
  const numeric = NUMERIC_FORMATS.get(format.format);
  const raw = kpaToRaw(pressureKpa, format);
  if (numeric === undefined || raw === undefined) return undefined;
  const view = new DataView(new ArrayBuffer(numeric.size));
  numeric.write(view, 0, raw, true);
  return new Uint8Array(view.buffer);
}
