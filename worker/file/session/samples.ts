import { median } from '../../core/statistics.ts';
import type { SampleBlock } from '../../core/trace.ts';
import { LIMITS } from '../limits.ts';
import { fromBase64, toBase64 } from './base64.ts';

/**
 * Serialises samples: all times, then all pressures, each an IEEE 754 double, little endian. Equal samples give equal
 * bytes on every machine, as the fingerprint requires.
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

/** Encodes samples as base64 of `samplesToBytes`. */
export const encodeSamples = (block: SampleBlock): string => toBase64(samplesToBytes(block));

/** Largest magnitude of a time, seconds: thirty years. Beyond it a double loses microseconds. */
const FURTHEST_S = 1e9;

/** Describes ascending times beyond any sensor or clock, phrased to follow "since"; `undefined` when plausible. */
export function implausibleTimes(timeS: Float64Array): string | undefined {
  const [first = 0, last = 0] = [timeS[0], timeS.at(-1)];
  if (Math.max(Math.abs(first), Math.abs(last)) > FURTHEST_S || last - first > LIMITS.lengthS) {
    return `their times run from ${first} s to ${last} s`;
  }
  const steps = Math.max(0, Math.min(timeS.length, 100_000) - 1);
  const stepS = median(Float64Array.from({ length: steps }, (_, i) => timeS[i + 1]! - timeS[i]!));
  return stepS < 0.999 / LIMITS.rateHz.high ? `their times are ${stepS} s apart` : undefined;
}

/**
 * Decodes samples from `encodeSamples`. A string is the error, phrased to follow the name of the field. Samples with a
 * pressure beyond `LIMITS.sensorKpa` are dropped and counted in `beyond`.
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
