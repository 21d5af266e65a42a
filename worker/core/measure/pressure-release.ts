import { median } from '../statistics.ts';

/** Window over which a fall is measured, seconds. */
const WINDOW_S = 0.15;
/** Least fall in a window for a release, as a share of the level. Even a bad leak is slower. */
const SHARP_SHARE = 0.12;
/** Largest fall in a window while the level holds. */
const HOLDING_SHARE = 0.02;
/** Largest change of the level in the tenth of a second before the release. */
const HELD_SHARE = 0.03;
/** Loss, as a share of the highest level, after which the test is over. */
const GONE_SHARE = 0.4;

/**
 * Index of the first sample after the held pressure was released at the end of a check-valve test; the length when it
 * was not released. `gauge` is kPa less the zero.
 */
export function releaseIndex(gauge: Float64Array, rateHz: number): number {
  const size = Math.max(3, Math.round((WINDOW_S * rateHz) / 5));
  const level: number[] = [];
  for (let i = 0; i + size <= gauge.length; i += size) level.push(median(gauge.subarray(i, i + size)));
  const top = Math.max(0, ...level);
  let highest = 0;
  for (let k = 0; k < level.length; k++) {
    if (level[k]! > highest) highest = level[k]!;
    if (highest < 0.5 * top || level[k]! > (1 - GONE_SHARE) * highest) continue;
    const back = Math.max(0, k - 5);
    if (level[back]! - level[k]! < SHARP_SHARE * highest) continue;
    let holds = k;
    while (holds > 1 && level[holds - 1]! - level[holds]! > (HOLDING_SHARE / 5) * highest) holds--;
    // A hose that leaks this fast falls from each step on; a released one held before.
    const held = level[Math.max(0, holds - 4)]!;
    if (Math.abs(level[holds - 1]! - held) > HELD_SHARE * highest) continue;
    return Math.max(0, (holds - 1) * size);
  }
  return gauge.length;
}
