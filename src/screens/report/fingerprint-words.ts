/** Formats and parses fingerprints. Pure. */
import type { Reader } from '../../components/reader.ts';

export const FINGERPRINT_LENGTH = 64;
/** Minimum number of hex digits. Sixteen agree by chance once in 2^64 attempts. */
const ENOUGH = 16;

/** Groups of four digits, easier to read. */
export const groupedFingerprint = (fingerprint: string): string =>
  fingerprint.match(/.{1,4}/g)?.join(' ') ?? '';

export type TypedFingerprint =
  | { readonly state: 'none' }
  /** `digits`: lower case, without spaces; long enough to compare. */
  | { readonly state: 'good'; readonly digits: string }
  | { readonly state: 'wrong-letter'; readonly letter: string }
  | { readonly state: 'too-short' | 'too-long'; readonly length: number };

/** Parses a typed or pasted fingerprint. Spaces, hyphens, line ends and case are ignored. */
export function readFingerprint(text: string): TypedFingerprint {
  const digits = text.replace(/[\s\u00ad\u200b:·–-]/g, '').toLowerCase();
  if (digits === '') return { state: 'none' };
  const letter = [...digits].find((one) => !/[0-9a-f]/.test(one));
  if (letter !== undefined) return { state: 'wrong-letter', letter };
  if (digits.length > FINGERPRINT_LENGTH) return { state: 'too-long', length: digits.length };
  if (digits.length < ENOUGH) return { state: 'too-short', length: digits.length };
  return { state: 'good', digits };
}

/** How to check a printed fingerprint. `address`: of the page that does it. */
export const checkWords = (address: string, { t, say }: Reader): string =>
  say(t.report.fingerprintHow, { address, settings: t.app.settings, check: t.check.title });
