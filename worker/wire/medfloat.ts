/**
 * The decimal floats of IEEE 11073-20601: SFLOAT (4-bit exponent, 12-bit mantissa) and FLOAT (8 and 24), both two's
 * complement, value = mantissa x 10^exponent. Not-a-number, not-at-this-resolution and the reserved value
 * decode to NaN, the infinities to +-Infinity. None of them is a sample.
 */

interface Layout {
  readonly mantissaBits: number;
  readonly exponentBits: number;
}

const SFLOAT: Layout = { mantissaBits: 12, exponentBits: 4 };
const FLOAT: Layout = { mantissaBits: 24, exponentBits: 8 };

/** Decodes an SFLOAT. `bits`: the 16 bits as an unsigned number. */
export function decodeSfloat(bits: number): number {
  return decode(bits, SFLOAT);
}

/** Encodes the SFLOAT nearest to `value` as 16 unsigned bits. Too large becomes an infinity, too small becomes 0. */
export function encodeSfloat(value: number): number {
  return encode(value, SFLOAT);
}

/** Decodes a FLOAT. `bits`: the 32 bits as an unsigned number. */
export function decodeFloat(bits: number): number {
  return decode(bits, FLOAT);
}

/** Encodes the FLOAT nearest to `value` as 32 unsigned bits. Too large becomes an infinity, too small becomes 0. */
export function encodeFloat(value: number): number {
  return encode(value, FLOAT);
}

/** Computes value x 10^exponent. Negative exponents divide, so that 3892 e-3 is 3.892 to the last bit. */
export function timesPowerOfTen(value: number, exponent: number): number {
  return exponent < 0 ? value / 10 ** -exponent : value * 10 ** exponent;
}

function signed(value: number, bits: number): number {
  return value >= 2 ** (bits - 1) ? value - 2 ** bits : value;
}

function decode(bits: number, { mantissaBits, exponentBits }: Layout): number {
  const mantissa = signed(bits % 2 ** mantissaBits, mantissaBits);
  const exponent = signed(Math.floor(bits / 2 ** mantissaBits), exponentBits);
  const top = 2 ** (mantissaBits - 1);
  if (exponent === 0) {
    if (mantissa === top - 2) return Number.POSITIVE_INFINITY;
    if (mantissa === -top + 2) return Number.NEGATIVE_INFINITY;
    if (mantissa === top - 1 || mantissa <= -top + 1) return Number.NaN;
  }
  return timesPowerOfTen(mantissa, exponent);
}

function encode(value: number, { mantissaBits, exponentBits }: Layout): number {
  const top = 2 ** (mantissaBits - 1);
  const pack = (mantissa: number, exponent: number): number =>
    (exponent < 0 ? exponent + 2 ** exponentBits : exponent) * 2 ** mantissaBits +
    (mantissa < 0 ? mantissa + 2 ** mantissaBits : mantissa);
  if (Number.isNaN(value)) return pack(top - 1, 0);
  // The largest mantissas encode the special values, so they are avoided with every exponent.
  const largest = top - 3;
  const lowest = -(2 ** (exponentBits - 1));
  for (let exponent = lowest; exponent < -lowest; exponent++) {
    const mantissa = Math.round(timesPowerOfTen(value, -exponent));
    if (Math.abs(mantissa) <= largest) return pack(mantissa, exponent);
  }
  return pack(value > 0 ? top - 2 : -top + 2, 0);
}
