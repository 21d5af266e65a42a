/** Pressures as lines of ASCII text: one number a line, optionally followed by its unit. */
import { toKpa } from '../core/units.ts';
import { type Decoded, decoded, refused } from './decoded.ts';
import { KPA_PER_MMHG } from './presentation-format.ts';

/** Result of `splitTextLines`. */
export interface TextSplit {
  /** Complete lines. */
  readonly lines: readonly string[];
  /** Start of an incomplete line, to be passed to the next call. */
  readonly rest: string;
}

/** Longer than any number with its unit. A longer line is noise and is dropped at its end. */
const LONGEST_LINE = 64;

/**
 * `rest` at the start and after every break of the stream. Text up to the next line end may be the tail of a longer
 * number, so it is dropped instead of being read as a small number.
 */
export const MID_LINE = '?';

/** Splits a stream of notifications into lines at CR, LF or both. Empty lines are dropped. */
export function splitTextLines(rest: string, view: DataView): TextSplit {
  const lines: string[] = [];
  let line = rest;
  for (let i = 0; i < view.byteLength; i++) {
    const octet = view.getUint8(i);
    if (octet === 0x0a || octet === 0x0d) {
      if (line !== '' && !line.startsWith(MID_LINE)) lines.push(line);
      line = '';
    } else if (line.length >= LONGEST_LINE) {
      line = MID_LINE;
    } else if (line !== MID_LINE) {
      line += String.fromCharCode(octet);
    }
  }
  return { lines, rest: line };
}

/** Kilopascals per unit, by the usual spellings in lower case. */
const KPA_PER_SUFFIX: ReadonlyMap<string, number> = new Map([
  ['bar', toKpa(1, 'bar')],
  ['hpa', toKpa(100, 'Pa')],
  ['kgf/cm2', toKpa(1, 'kgf/cm2')],
  ['kg/cm2', toKpa(1, 'kgf/cm2')],
  ['kpa', 1],
  ['mbar', toKpa(0.001, 'bar')],
  ['mmhg', KPA_PER_MMHG],
  ['mpa', toKpa(1, 'MPa')],
  ['pa', toKpa(1, 'Pa')],
  ['psi', toKpa(1, 'psi')],
  ['psia', toKpa(1, 'psi')],
  ['psig', toKpa(1, 'psi')],
]);

const LINE = /^\s*([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d{1,2})?)\s*([a-z][a-z0-9/]*)?\s*$/i;

/**
 * Decodes the pressure of one line in kPa. A decimal comma is read as a point. `kpaPerUnit`: kPa per unit of a number
 * without a unit; when omitted, such a line is refused as `not-pressure`. Refused as `no-number` without one number.
 */
export function decodeTextLine(line: string, kpaPerUnit?: number): Decoded<number> {
  const match = LINE.exec(line);
  const number = Number(match?.[1]?.replace(',', '.') ?? Number.NaN);
  if (!Number.isFinite(number)) return refused('no-number', 'A line did not hold one number.');
  const suffix = match?.[2]?.toLowerCase();
  const scale = suffix === undefined ? kpaPerUnit : KPA_PER_SUFFIX.get(suffix);
  if (scale === undefined) {
    return refused(
      'not-pressure',
      suffix === undefined ? 'A line has no unit.' : 'A line has a unit that is not a pressure.',
    );
  }
  return decoded(number * scale);
}

/** Encodes a line as a simple transducer sends it, ending in LF. `digits`: decimals. */
export function encodeTextLine(value: number, digits: number, unit = ''): Uint8Array<ArrayBuffer> {
  const text = `${value.toFixed(digits)}${unit === '' ? '' : ` ${unit}`}\n`;
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}
