/** Arithmetic of zooming and moving a plot along one axis. Pure; in units of the axis. */

/** The part of the axis that is shown, ascending. */
export type Range = readonly [from: number, to: number];

/** Smallest part of the whole that can be shown, as a fraction: closer than the samples lie there is nothing to see. */
const LEAST_SHARE = 0.01;

/** Distance between two fingers, as a fraction of the plot's width, below which they do not set a scale. */
const LEAST_SPREAD = 0.02;

const spanOf = ([from, to]: Range): number => to - from;

/** The range nearest to `wanted` that is inside `whole` and not too small. */
export function limited(wanted: Range, whole: Range): Range {
  const most = spanOf(whole);
  const span = Math.min(most, Math.max(LEAST_SHARE * most, spanOf(wanted)));
  const middle = (wanted[0] + wanted[1]) / 2;
  const from = Math.min(whole[1] - span, Math.max(whole[0], middle - span / 2));
  return [from, from + span];
}

/** Shows `factor` times as much of the axis; the value at `at`, a fraction of the width, keeps its place. */
export function zoomed(shown: Range, factor: number, at: number, whole: Range): Range {
  const least = (LEAST_SHARE * spanOf(whole)) / spanOf(shown);
  const span = spanOf(shown) * Math.max(factor, least);
  const from = shown[0] + at * (spanOf(shown) - span);
  return limited([from, from + span], whole);
}

/** Moves by a fraction of what is shown; positive shows later values. */
export function moved(shown: Range, by: number, whole: Range): Range {
  const step = by * spanOf(shown);
  return limited([shown[0] + step, shown[1] + step], whole);
}

/**
 * Keeps the values under two fingers under them. `before` and `now`: their places as fractions of the width, in one order.
 * `shown` belongs to `before`.
 */
export function pinched(shown: Range, before: Range, now: Range, whole: Range): Range {
  const spread = now[1] - now[0];
  const wasSpread = before[1] - before[0];
  if (Math.abs(spread) < LEAST_SPREAD || Math.abs(wasSpread) < LEAST_SPREAD || spread * wasSpread < 0)
    return shown;
  const span = (spanOf(shown) * wasSpread) / spread;
  const from = shown[0] + before[0] * spanOf(shown) - now[0] * span;
  return limited([from, from + span], whole);
}

/** Whether all of the axis is shown. */
export const isWhole = (shown: Range, whole: Range): boolean => spanOf(shown) >= spanOf(whole) * (1 - 1e-9);
