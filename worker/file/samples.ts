import type { SampleBlock } from '../core/trace.ts';
import { fromBase64, toBase64 } from './base64.ts';
import { LIMITS } from './limits.ts';

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

/**
 * The samples of `encodeSamples`, or what is wrong with them, in words that follow the name of the field. Those with a
 * pressure that no sensor could report are left out; `beyond` counts them.
 */
export function decodeSamples(text: string): (SampleBlock & { readonly beyond?: number }) | string {
  const bytes = fromBase64(text);
  if (!bytes || bytes.length % 16 !== 0) return 'must be base64 of pairs of doubles';
  const count = bytes.length / 16;
  const view = new DataView(bytes.buffer);
  const timeS = new Float64Array(count);
  const pressureKpa = new Float64Array(count);
  let last = Number.NEGATIVE_INFINITY;
  let kept = 0;
  for (let i = 0; i < count; i++) {
    const time = view.getFloat64(8 * i, true);
    const kpa = view.getFloat64(8 * (count + i), true);
    if (!(time > last) || time === Number.POSITIVE_INFINITY) return `sample ${i + 1}: the time must ascend`;
    last = time;
    if (!(Math.abs(kpa) <= LIMITS.sensorKpa)) continue;
    timeS[kept] = time;
    pressureKpa[kept++] = kpa;
  }
  const beyond = count - kept;
  return beyond === 0
    ? { timeS, pressureKpa }
    : { timeS: timeS.slice(0, kept), pressureKpa: pressureKpa.slice(0, kept), beyond };
}
