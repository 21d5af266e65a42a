import { quantile, thinned } from '../statistics.ts';

/** A top of compression does not stand still for this long, seconds: a stop of the sensor does. */
const STANDSTILL_S = 0.006;
/** A held level may stand still; then it takes this many samples in a row. */
const HELD_RUN = 20;

/**
 * Whether the sensor stopped telling at its upper end: the same highest number again and again, where noise would
 * have changed it. `pressureKpa` is as reported, `quietKpa` its part before cranking.
 */
export function isClipped(
  pressureKpa: Float64Array,
  quietKpa: Float64Array,
  rateHz: number,
  open: boolean,
  sensorMaxKpa: number | undefined,
): boolean {
  if (pressureKpa.length === 0) return false;
  const top = quantile(thinned(pressureKpa), 0.999);
  if (sensorMaxKpa !== undefined && top >= sensorMaxKpa * 0.999) return true;
  const least = Math.max(3, Math.ceil(STANDSTILL_S * rateHz));
  const runs = longestRuns(pressureKpa, least, 0.5 * top);
  const highest = Math.max(...runs.keys());
  const stuck = runs.get(highest);
  // a wild sample or two may lie above; real pressure would
  if (!stuck || countAbove(pressureKpa, highest) > 3) return false;
  if (open) return stuck.count >= 2 || stuck.longest >= 2 * least;
  // a held level repeats itself as well when the converter's steps are coarser than the noise
  const quiet = [...longestRuns(quietKpa, 2, Number.NEGATIVE_INFINITY).values()].map((r) => r.longest);
  return stuck.longest >= HELD_RUN && stuck.longest > 4 * Math.max(1, ...quiet);
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
  let from = 0;
  for (let i = 1; i <= values.length; i++) {
    if (i < values.length && values[i] === values[from]) continue;
    const length = i - from;
    const value = values[from]!;
    if (length >= least && value > floor) {
      const runs = found.get(value) ?? { count: 0, longest: 0 };
      found.set(value, { count: runs.count + 1, longest: Math.max(runs.longest, length) });
    }
    from = i;
  }
  return found;
}
