/**
 * Whether the sensor stopped telling at its upper end: the same highest number again and again, where noise would
 * have changed it. `pressureKpa` is as reported, `quietKpa` its part before cranking.
 */
export function isClipped(
  pressureKpa: Float64Array,
  quietKpa: Float64Array,
  open: boolean,
  sensorMaxKpa: number | undefined,
): boolean {
  let top = Number.NEGATIVE_INFINITY;
  for (const v of pressureKpa) if (v > top) top = v;
  if (sensorMaxKpa !== undefined && top >= sensorMaxKpa * 0.999) return true;
  const { longest, runs } = runsAtTop(pressureKpa, top);
  if (open) return runs >= 2 || longest >= 6;
  // a held level repeats itself as well when the converter's steps are coarser than the noise
  return longest >= 20 && longest > 4 * longestRepeat(quietKpa);
}

/** Runs of at least three samples at `top`, and the longest. */
function runsAtTop(values: Float64Array, top: number): { longest: number; runs: number } {
  const near = 1e-6 * Math.max(1, Math.abs(top));
  let run = 0;
  let longest = 0;
  let runs = 0;
  for (const v of values) {
    run = top - v <= near ? run + 1 : 0;
    if (run === 3) runs++;
    if (run > longest) longest = run;
  }
  return { longest, runs };
}

function longestRepeat(values: Float64Array): number {
  let run = 1;
  let longest = 1;
  for (let i = 1; i < values.length; i++) {
    run = values[i] === values[i - 1] ? run + 1 : 1;
    if (run > longest) longest = run;
  }
  return longest;
}
