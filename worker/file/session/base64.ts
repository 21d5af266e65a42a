const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** Character codes by value. */
const CODES = Uint8Array.from(ALPHABET, (letter) => letter.charCodeAt(0));
/** Values by character code; 255 outside the alphabet. */
const VALUES = new Uint8Array(128).fill(255);
CODES.forEach((code, value) => {
  VALUES[code] = value;
});

/** Characters joined at a time, limited by the number of arguments of one call. */
const CHUNK = 8192;

/** Encodes bytes as base64 (RFC 4648) with padding. */
export function toBase64(bytes: Uint8Array): string {
  const letters = new Uint8Array(Math.ceil(bytes.length / 3) * 4).fill(61);
  let at = 0;
  for (let i = 0; i < bytes.length; i += 3) {
    const left = bytes.length - i;
    const bits = (bytes[i]! << 16) | ((bytes[i + 1] ?? 0) << 8) | (bytes[i + 2] ?? 0);
    letters[at] = CODES[bits >> 18]!;
    letters[at + 1] = CODES[(bits >> 12) & 63]!;
    if (left > 1) letters[at + 2] = CODES[(bits >> 6) & 63]!;
    if (left > 2) letters[at + 3] = CODES[bits & 63]!;
    at += 4;
  }
  const parts: string[] = [];
  for (let i = 0; i < letters.length; i += CHUNK) {
    parts.push(String.fromCharCode(...letters.subarray(i, i + CHUNK)));
  }
  return parts.join('');
}

/** Decodes padded base64 without white space; `undefined` for any other text. */
export function fromBase64(text: string): Uint8Array | undefined {
  if (text.length % 4 !== 0) return undefined;
  const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0;
  const bytes = new Uint8Array((text.length / 4) * 3 - padding);
  const letters = text.length - padding;
  let at = 0;
  for (let i = 0; i < text.length; i += 4) {
    let bits = 0;
    for (let k = i; k < i + 4; k++) {
      const value = k < letters ? (VALUES[text.charCodeAt(k)] ?? 255) : 0;
      if (value === 255) return undefined;
      bits = (bits << 6) | value;
    }
    bytes[at++] = bits >> 16;
    if (at < bytes.length) bytes[at++] = bits >> 8;
    if (at < bytes.length) bytes[at++] = bits;
  }
  return bytes;
}
