import type { SampleBlock } from '../core/trace.ts';
import { fromBase64, toBase64 } from './base64.ts';

/**
 * Samples as bytes: all times, then all pressures, each an IEEE 754 double, little endian. The same samples are the
 * same bytes on every machine, so that a digest of them can vouch for a trace.
 */
export function samplesToBytes({ timeS, pressureKpa }: SampleBlock): Uint8Array {
  const bytes = new Uint8Array(16 * timeS.length);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < timeS.length; i++) {
    view.setFloat64(8 * i, timeS[i]!, true);
    view.setFloat64(8 * (timeS.length + i), pressureKpa[i]!, true);
  }
  return bytes;
}

export const encodeSamples = (block: SampleBlock): string => toBase64(samplesToBytes(block));

/** Highest pressure, either way, that any sensor for this job could report: 100 MPa. */
const MOST_KPA = 100_000;

/** The samples of `encodeSamples`, or what is wrong with them, in words that follow the name of the field. */
export function decodeSamples(text: string): SampleBlock | string {
  const bytes = fromBase64(text);
  if (!bytes || bytes.length % 16 !== 0) return 'must be base64 of pairs of doubles';
  const count = bytes.length / 16;
  const view = new DataView(bytes.buffer);
  const timeS = new Float64Array(count);
  const pressureKpa = new Float64Array(count);
  let last = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < count; i++) {
    const time = view.getFloat64(8 * i, true);
    const kpa = view.getFloat64(8 * (count + i), true);
    if (!(time > last) || time === Number.POSITIVE_INFINITY) return `sample ${i + 1}: the time must ascend`;
    if (!(Math.abs(kpa) <= MOST_KPA)) return `sample ${i + 1}: ${kpa} kPa is no pressure`;
    last = time;
    timeS[i] = time;
    pressureKpa[i] = kpa;
  }
  return { timeS, pressureKpa };
}
