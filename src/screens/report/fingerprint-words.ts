/** Fingerprints as people read and write them. Pure. */

export const FINGERPRINT_LENGTH = 64;
/** Typed by hand, this many agree by chance once in 2^64 tries. */
const ENOUGH = 16;

/** In groups of four, so that the eye keeps its place. */
export const groupedFingerprint = (fingerprint: string): string =>
  fingerprint.match(/.{1,4}/g)?.join(' ') ?? '';

export type TypedFingerprint =
  | { readonly state: 'none' }
  /** Lower case, without gaps; long enough to be compared. */
  | { readonly state: 'good'; readonly digits: string }
  | { readonly state: 'wrong-letter'; readonly letter: string }
  | { readonly state: 'too-short' | 'too-long'; readonly length: number };

/** What somebody typed or pasted from a report: gaps, hyphens, line ends and case do not matter. */
export function readFingerprint(text: string): TypedFingerprint {
  const digits = text.replace(/[\s\u00ad\u200b:·–-]/g, '').toLowerCase();
  if (digits === '') return { state: 'none' };
  const letter = [...digits].find((one) => !/[0-9a-f]/.test(one));
  if (letter !== undefined) return { state: 'wrong-letter', letter };
  if (digits.length > FINGERPRINT_LENGTH) return { state: 'too-long', length: digits.length };
  if (digits.length < ENOUGH) return { state: 'too-short', length: digits.length };
  return { state: 'good', digits };
}
