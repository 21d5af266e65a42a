import { quantile, thinned } from '../statistics.ts';

/** A top of compression does not stand still for this long, seconds: a stop of the sensor does. */
const STANDSTILL_S = 0.006;
/** A held level may stand still; then it takes this many samples in a row. */
const HELD_RUN = 20;

/**
 * Whether the sensor stopped telling at its upper end: the same highest number again and again, where noise would
 * have changed it. `gauge` is kPa with the zero off, `quiet` its part before cranking, `endKpa` where the range of the sensor
 * ends.
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
  // a wild sample or two may lie above; real pressure would
  if (!stuck || countAbove(gauge, highest) > 3) return false;
  if (open) return stuck.count >= 2 || stuck.longest >= 2 * least;
  // a held level repeats itself as well when the converter's steps are coarser than the noise
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

/** Runs of at least `least` equal samples above `floor`, by their value. */
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
