import { median } from '../statistics.ts';

/** Seconds over which a fall is looked at. */
const WINDOW_S = 0.15;
/** A leak, even a bad one, takes longer than that for this share of the level. */
const SHARP_SHARE = 0.12;
/** While less than this is lost in a window, the level still holds. */
const HOLDING_SHARE = 0.02;
/** A tenth of a second before it is let off the level stood within this share. */
const HELD_SHARE = 0.03;
/** Once this share is gone the test is over. */
const GONE_SHARE = 0.4;

/**
 * Where the held pressure was let off after a check-valve test: the index of the first sample that no longer tells of the
 * hose, or the length when nobody let it off. `gauge` is kPa with the zero off.
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
    // a hose that leaks this fast sinks from each step on; one that was let off had held
    const held = level[Math.max(0, holds - 4)]!;
    if (Math.abs(level[holds - 1]! - held) > HELD_SHARE * highest) continue;
    return Math.max(0, (holds - 1) * size);
  }
  return gauge.length;
}
