/** Pressures as lines of ASCII text, one number a line, the unit behind it if there is one. */
import { toKpa } from '../core/units.ts';
import { type Decoded, decoded, refused } from './decoded.ts';
import { KPA_PER_MMHG } from './presentation-format.ts';

/** Lines that were finished, and what waits for the rest of its line. */
export interface TextSplit {
  readonly lines: readonly string[];
  readonly rest: string;
}

/** Longer than any number with its unit. What grows beyond it is noise, and is given up at the next line end. */
const LONGEST_LINE = 64;

/**
 * `rest` before anything was heard, and after every break of the stream: whatever comes up to the next line end may
 * be the tail of a longer number, so it is thrown away rather than read as a small one.
 */
export const MID_LINE = '?';

/** Cuts a stream of notifications into lines: at CR, LF or both. Empty lines are left out. */
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

/** What one of each unit is in kPa, by the way people write it, lower case. */
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
 * The pressure of one line in kPa. A decimal comma is read as a point. `kpaPerUnit`: what a number without a unit
 * counts in; leave it out and such a line is refused.
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

/** A line as a simple transducer would send it, with LF at the end. */
export function encodeTextLine(value: number, digits: number, unit = ''): Uint8Array<ArrayBuffer> {
  const text = `${value.toFixed(digits)}${unit === '' ? '' : ` ${unit}`}\n`;
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}
