import { findTicks, type TickSearch } from './find-ticks.ts';
import { alongRing, type FoundTick, fitScale } from './fit-scale.ts';
import type { Picture } from './picture.ts';
import { divisionsOf, type FittedScale, type Mark, type Point, placeOf } from './scale.ts';

/** A scale fitted to the printed ticks. */
export interface Snapped {
  readonly scale: FittedScale;
  readonly search: TickSearch;
  /** Median distance of ticks from their places, pixels. */
  readonly residualPx: number;
  /** Largest distance of a tapped mark from its place along the ring, divisions. */
  readonly tapOffDivisions: number;
}

/** Starts tried, divisions: taps may be half a division off, and all to one side. */
const STARTS = [0, 0.35, -0.35, 0.7, -0.7];

/** Fits the scale to the dial's own ticks from several starts; `null` when none converges. */
export function snapScale(
  picture: Picture,
  rough: FittedScale,
  hub: Point,
  marks: readonly Mark[],
): Snapped | null {
  // With tilt a circle is a poor start, and a fit to taps alone carries their errors: one of the two is near enough.
  const bases = [rough, fitScale(rough, hub, marks, [])].filter((base) => base !== null);
  let best: Snapped | null = null;
  for (const start of STARTS) {
    for (const base of bases) {
      const snapped = snapFrom(picture, turned(base, start), hub, marks);
      if (snapped === null) continue;
      if (best === null || penaltyOf(snapped) < penaltyOf(best)) best = snapped;
      // The usual case: no need to try others.
      if (penaltyOf(best) < 0.35) return best;
    }
  }
  return best;
}

/** Low for a scale whose ticks are all there, whose ends are its ends, and whose taps are near. */
function penaltyOf({ search, residualPx, tapOffDivisions }: Snapped): number {
  const { foundShare, beyondEnds, atTop } = search;
  return (
    3 * (1 - foundShare) +
    residualPx / 2 +
    tapOffDivisions ** 2 / 2 +
    (Math.max(...beyondEnds) > 0.5 ? 1 : 0) +
    (atTop < 0.4 ? 1 : 0)
  );
}

function snapFrom(picture: Picture, from: FittedScale, hub: Point, marks: readonly Mark[]): Snapped | null {
  let scale: FittedScale = from;
  let search = findTicks(picture, scale, 0.5);
  for (const reach of [0.5, 0.5, 0.45, 0.4, 0.35, 0.3]) {
    search = findTicks(picture, scale, reach);
    const kept = withoutOutliers(scale, search.ticks);
    const next = fitScale(scale, hub, marks, kept);
    if (next === null) return null;
    scale = next;
  }
  search = findTicks(picture, scale, 0.35);
  const offs = search.ticks.map((tick) => Math.abs(alongRing(scale, tick))).sort((a, b) => a - b);
  const count = divisionsOf(scale);
  const tapOffs = marks.map((mark) => {
    const off = alongRing(scale, { ...mark, share: mark.v / scale.fullScale, radius: 1, weight: 1 });
    const [a, b] = [placeOf(scale, 0.5, 1), placeOf(scale, 0.5 + 1 / count, 1)];
    return Math.abs(off) / Math.hypot(b.x - a.x, b.y - a.y);
  });
  return {
    scale,
    search,
    residualPx: offs[offs.length >> 1] ?? Number.POSITIVE_INFINITY,
    tapOffDivisions: Math.max(...tapOffs),
  };
}

/** Leaves out ticks far from the others: numbers and scratches. */
function withoutOutliers(scale: FittedScale, ticks: readonly FoundTick[]): FoundTick[] {
  const offs = ticks.map((tick) => alongRing(scale, tick));
  const middle = [...offs].sort((a, b) => a - b)[offs.length >> 1] ?? 0;
  const away = offs.map((off) => Math.abs(off - middle)).sort((a, b) => a - b);
  const limit = Math.max(0.6, 4 * (away[away.length >> 1] ?? 0));
  return ticks.filter((_, i) => Math.abs(offs[i]! - middle) <= limit);
}

/** The scale turned by a number of divisions. */
function turned(scale: FittedScale, divisions: number): FittedScale {
  const angle = (divisions / divisionsOf(scale)) * scale.sweep;
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const h = scale.homography;
  const homography = [0, 3, 6].flatMap((row) => [
    h[row]! * c + h[row + 1]! * s,
    -h[row]! * s + h[row + 1]! * c,
    h[row + 2]!,
  ]);
  return { ...scale, homography };
}
