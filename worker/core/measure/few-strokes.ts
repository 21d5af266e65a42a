import { STROKES_NEEDED } from '../strokes-needed.ts';
import { settleToleranceKpa } from './settle.ts';

/** Largest ratio of successive steps. Above it the levels do not converge. */
const MOST_RATIO = 0.9;

/**
 * Rise that further strokes would add on a check-valve hose, kPa; 0 once enough strokes were seen. `levelsKpa`: see
 * `missingKpa`.
 */
export const stillToComeKpa = (levelsKpa: readonly (number | null)[]): number =>
  levelsKpa.length >= STROKES_NEEDED ? 0 : missingKpa(levelsKpa);

/**
 * Rise that further strokes would add on a check-valve hose, kPa. `levelsKpa`: level held after each stroke, `null`
 * where lost. Each stroke adds about the same share of the remainder, so steps shrink by a constant ratio. A single
 * level gives no ratio: as much again may be missing.
 */
function missingKpa(levelsKpa: readonly (number | null)[]): number {
  const [before, previous, last] = [0, 0, ...levelsKpa.filter((kpa) => kpa !== null)].slice(-3) as [
    number,
    number,
    number,
  ];
  const step = Math.max(0, last - previous);
  if (previous === 0) return last;
  const ratio = Math.min(MOST_RATIO, step / Math.max(previous - before, 1e-9));
  return (step * ratio) / (1 - ratio);
}

/**
 * True when a check-valve hose had too few strokes. Strokes on the plateau leave no mark, so fewer are enough once
 * further ones would not raise the level beyond the settling tolerance. The duration of the hold is no evidence,
 * since a hose also holds after the starter has stopped.
 */
export const isHeldShort = (levelsKpa: readonly (number | null)[]): boolean =>
  levelsKpa.length < STROKES_NEEDED && !hasClosedIn(levelsKpa);

/** True when further strokes would not raise the held level beyond the settling tolerance. */
export function hasClosedIn(levelsKpa: readonly (number | null)[]): boolean {
  const highestKpa = Math.max(0, ...levelsKpa.map((kpa) => kpa ?? 0));
  return missingKpa(levelsKpa) <= settleToleranceKpa(highestKpa);
}
