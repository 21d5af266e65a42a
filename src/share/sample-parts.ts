/** Raw samples of a take as bytes in parts, with a digest that shows whether they are whole and unchanged. */
import { toHexString } from 'lib0/buffer';
import { digest } from 'lib0/hash/sha256';
import type { SampleBlock } from '../../worker/core/trace.ts';
import { LIMITS } from '../../worker/file/limits.ts';
import { implausibleTimes, samplesToBytes } from '../../worker/file/session/samples.ts';

/** Bytes in one part. */
const PART_BYTES = 256 * 1024;

/** SHA-256, lower-case hexadecimal. Also on insecure origins, where browsers do not offer theirs. */
export const sha256 = (bytes: Uint8Array): string => toHexString(digest(bytes));

/** `parts` joined are `samplesToBytes`. */
export interface SampleParts {
  readonly sha256: string;
  readonly parts: readonly Uint8Array[];
}

/** Splits samples into parts. No samples: no part. */
export function partsOfSamples(block: SampleBlock): SampleParts {
  const bytes = samplesToBytes(block);
  const parts: Uint8Array[] = [];
  for (let at = 0; at < bytes.length; at += PART_BYTES) parts.push(bytes.slice(at, at + PART_BYTES));
  return { sha256: sha256(bytes), parts };
}

/** Joins parts; `null` when one is missing or altered, or the samples are none that a sensor can send. */
export function samplesOfParts({ sha256: wanted, parts }: SampleParts): SampleBlock | null {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  if (bytes.length % 16 !== 0 || sha256(bytes) !== wanted) return null;
  const count = bytes.length / 16;
  const view = new DataView(bytes.buffer);
  const doubles = (from: number) =>
    Float64Array.from({ length: count }, (_, i) => view.getFloat64(8 * (from + i), true));
  const [timeS, pressureKpa] = [doubles(0), doubles(count)];
  let last = Number.NEGATIVE_INFINITY;
  const ascends = timeS.every((time) => {
    const isLater = time > last && Number.isFinite(time);
    last = time;
    return isLater;
  });
  const isPressure = pressureKpa.every((kpa) => Math.abs(kpa) <= LIMITS.sensorKpa);
  return ascends && isPressure && implausibleTimes(timeS) === undefined ? { timeS, pressureKpa } : null;
}
