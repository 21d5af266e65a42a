import { STROKES_NEEDED } from '../strokes-needed.ts';
import { settleToleranceKpa } from './settle.ts';

/** Beyond this many times the step before, a step says that the levels do not yet close in on anything. */
const MOST_RATIO = 0.9;

/** As `missingKpa`, and 0 when as many strokes as needed were seen. */
export const stillToComeKpa = (levelsKpa: readonly (number | null)[]): number =>
  levelsKpa.length >= STROKES_NEEDED ? 0 : missingKpa(levelsKpa);

/**
 * How much further the strokes to come would raise a check-valve hose, kPa. `levelsKpa`: what was held after each stroke,
 * `null` where it was lost. Each stroke adds about the same share of what is missing, so steps shrink by a constant ratio. A
 * single level tells no ratio: as much again may be missing.
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
 * Whether a check-valve hose saw too few strokes. On its plateau strokes leave no mark, so fewer than needed are enough once
 * those to come would not raise it beyond the tolerance of a settled stroke. How long it held says nothing: a hose
 * holds after the starter has stopped as well.
 */
export const isHeldShort = (levelsKpa: readonly (number | null)[]): boolean =>
  levelsKpa.length < STROKES_NEEDED && !hasClosedIn(levelsKpa);

/** Whether the strokes to come would not raise the held level beyond the tolerance of a settled stroke. */
export function hasClosedIn(levelsKpa: readonly (number | null)[]): boolean {
  const highestKpa = Math.max(0, ...levelsKpa.map((kpa) => kpa ?? 0));
  return missingKpa(levelsKpa) <= settleToleranceKpa(highestKpa);
}
