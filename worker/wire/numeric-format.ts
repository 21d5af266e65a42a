import { decodeFloat, decodeSfloat, encodeFloat, encodeSfloat } from './medfloat.ts';

/** A numeric format of the Characteristic Presentation Format. */
export interface NumericFormat {
  /** Name used in custom layouts. */
  readonly name: string;
  /** Octets. */
  readonly size: number;
  /** Whether it is an integer format. The exponent of the presentation format applies to integers only. */
  readonly integer: boolean;
  /** Smallest and largest encodable value. */
  readonly min: number;
  readonly max: number;
  /** Reads one number; the caller ensures that `size` octets are available. Not finite: no value. */
  read(view: DataView, offset: number, littleEndian: boolean): number;
  /** Writes one number; integers are rounded and clamped to `min` and `max`. */
  write(view: DataView, offset: number, value: number, littleEndian: boolean): void;
}

function integer(name: string, size: number, isSigned: boolean): NumericFormat {
  const span = 2 ** (8 * size);
  const min = isSigned ? -span / 2 : 0;
  const max = isSigned ? span / 2 - 1 : span - 1;
  return {
    name,
    size,
    integer: true,
    min,
    max,
    read(view, offset, littleEndian) {
      let value = 0;
      for (let i = 0; i < size; i++)
        value = value * 256 + view.getUint8(offset + (littleEndian ? size - 1 - i : i));
      return value > max ? value - span : value;
    },
    write(view, offset, value, littleEndian) {
      let rest = Math.min(max, Math.max(min, Math.round(value)));
      if (rest < 0) rest += span;
      for (let i = 0; i < size; i++) {
        view.setUint8(offset + (littleEndian ? i : size - 1 - i), rest % 256);
        rest = Math.floor(rest / 256);
      }
    },
  };
}

type Float = Pick<NumericFormat, 'name' | 'size' | 'read' | 'write'>;

function float(parts: Float): NumericFormat {
  return { ...parts, integer: false, min: Number.NEGATIVE_INFINITY, max: Number.POSITIVE_INFINITY };
}

/** Formats by Bluetooth SIG number (Assigned Numbers of 2026-06-23, format types). */
export const NUMERIC_FORMATS: ReadonlyMap<number, NumericFormat> = new Map([
  [0x04, integer('uint8', 1, false)],
  [0x06, integer('uint16', 2, false)],
  [0x07, integer('uint24', 3, false)],
  [0x08, integer('uint32', 4, false)],
  [0x0c, integer('sint8', 1, true)],
  [0x0e, integer('sint16', 2, true)],
  [0x0f, integer('sint24', 3, true)],
  [0x10, integer('sint32', 4, true)],
  [
    0x14,
    float({
      name: 'float32',
      size: 4,
      read: (view, offset, le) => view.getFloat32(offset, le),
      write: (view, offset, value, le) => view.setFloat32(offset, value, le),
    }),
  ],
  [
    0x15,
    float({
      name: 'float64',
      size: 8,
      read: (view, offset, le) => view.getFloat64(offset, le),
      write: (view, offset, value, le) => view.setFloat64(offset, value, le),
    }),
  ],
  [
    0x16,
    float({
      name: 'medfloat16',
      size: 2,
      read: (view, offset, le) => decodeSfloat(view.getUint16(offset, le)),
      write: (view, offset, value, le) => view.setUint16(offset, encodeSfloat(value), le),
    }),
  ],
  [
    0x17,
    float({
      name: 'medfloat32',
      size: 4,
      read: (view, offset, le) => decodeFloat(view.getUint32(offset, le)),
      write: (view, offset, value, le) => view.setUint32(offset, encodeFloat(value), le),
    }),
  ],
]);
