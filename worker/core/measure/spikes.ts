import type { SampleBlock } from '../trace.ts';

/** Shortest cranking pulse at its foot, seconds. Anything shorter is not pressure. */
const SHORTEST_PULSE_S = 0.02;

/**
 * Removes one or two consecutive samples that differ from both sides although the sides agree. Only where samples are
 * so dense that a compression pulse cannot look like that. `stepS`: usual interval, seconds.
 */
export function withoutSpikes(trace: SampleBlock, stepS: number, noiseKpa: number): SampleBlock {
  const { timeS, pressureKpa: p } = trace;
  const n = p.length;
  const limit = 10 * noiseKpa + 2;
  const widest = Math.min(2, Math.floor(SHORTEST_PULSE_S / stepS) - 1);
  const bad: number[] = [];
  for (let i = 1; i < n - 1; i++) {
    const step = p[i]! - p[i - 1]!;
    // Fast path: nearly every sample is close to the one before, or lies between its neighbours on the flank of a
    // pulse.
    if (Math.abs(step) < limit || (step * (p[i]! - p[i + 1]!) <= 0 && !(step * (p[i]! - p[i + 2]!) > 0)))
      continue;
    for (let width = 1; width <= widest && i + width < n; width++) {
      if (!isSpike(timeS, p, i, width, limit, stepS)) continue;
      for (let k = 0; k < width; k++) bad.push(i + k);
      i += width;
      break;
    }
  }
  if (bad.length === 0) return trace;
  return { timeS: without(timeS, bad), pressureKpa: without(p, bad) };
}

/**
 * True when the step to the `width` samples from `i` exceeds the steps around them by far, unlike any peak of a
 * pulse.
 */
function isSpike(
  timeS: Float64Array,
  p: Float64Array,
  i: number,
  width: number,
  limit: number,
  stepS: number,
): boolean {
  const last = i + width;
  const left = p[i - 1]!;
  const right = p[last]!;
  if ((p[i]! - left) * (p[i]! - right) <= 0) return false;
  const high = Math.max(left, right);
  const low = Math.min(left, right);
  const off = Math.min(
    Math.max(p[i]! - high, low - p[i]!),
    Math.max(p[last - 1]! - high, low - p[last - 1]!),
  );
  if (off < limit || timeS[last]! - timeS[i - 1]! > (width + 3) * stepS) return false;
  let around = high - low;
  if (i >= 2) around = Math.max(around, Math.abs(left - p[i - 2]!));
  if (last + 1 < p.length) around = Math.max(around, Math.abs(p[last + 1]! - right));
  return off > 3 * around;
}

/** `values` without those at the ascending indices `bad`. */
function without(values: Float64Array, bad: readonly number[]): Float64Array {
  const kept = new Float64Array(values.length - bad.length);
  let from = 0;
  let to = 0;
  for (const at of [...bad, values.length]) {
    kept.set(values.subarray(from, at), to);
    to += at - from;
    from = at + 1;
  }
  return kept;
}
