import { quantile, thinned } from '../statistics.ts';

/** Longest time for which a real peak can be constant, seconds. A sensor at its limit stays constant for longer. */
const STANDSTILL_S = 0.006;
/** Least number of equal samples for clipping of a held level, which may be constant by itself. */
const HELD_RUN = 20;

/**
 * True when the sensor reached its upper limit: the same highest value repeats where noise would have changed it.
 * `gauge` is kPa less the zero, `quiet` its part before cranking, `endKpa` the end of the sensor's range (gauge).
 */
export function isClipped(
  gauge: Float64Array,
  quiet: Float64Array,
  rateHz: number,
  open: boolean,
  endKpa: number,
): boolean {
  const top = quantile(thinned(gauge), 0.999);
  if (top >= 0.999 * endKpa) return true;
  const least = Math.max(3, Math.ceil(STANDSTILL_S * rateHz));
  const runs = longestRuns(gauge, least, 0.5 * top);
  const highest = Math.max(...runs.keys());
  const stuck = runs.get(highest);
  // Up to three outliers may be above; real pressure would have more samples there.
  if (!stuck || countAbove(gauge, highest) > 3) return false;
  if (open) return stuck.count >= 2 || stuck.longest >= 2 * least;
  // A held level also repeats when the converter's step is coarser than the noise.
  const resting = [...longestRuns(quiet, 2, Number.NEGATIVE_INFINITY).values()].map((r) => r.longest);
  return stuck.longest >= HELD_RUN && stuck.longest > 4 * Math.max(1, ...resting);
}

function countAbove(values: Float64Array, limit: number): number {
  let count = 0;
  for (const v of values) if (v > limit) count++;
  return count;
}

interface Runs {
  count: number;
  longest: number;
}

/** Runs of at least `least` equal samples above `floor`, by value. */
function longestRuns(values: Float64Array, least: number, floor: number): Map<number, Runs> {
  const found = new Map<number, Runs>();
  for (let i = 0; i < values.length; ) {
    const from = i++;
    const value = values[from]!;
    if (!(value > floor)) continue;
    while (values[i] === value) i++;
    if (i - from < least) continue;
    const runs = found.get(value) ?? { count: 0, longest: 0 };
    found.set(value, { count: runs.count + 1, longest: Math.max(runs.longest, i - from) });
  }
  return found;
}
