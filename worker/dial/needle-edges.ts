import { median } from '../core/statistics.ts';
import { type Grid, RADII } from './polar.ts';

/** Darkness on a grid, and which part of it a coloured follower took. */
export interface Covered {
  /** Darkness left out as red, on the grid. */
  readonly reddened: Float64Array;
  /** Half of the needle's width where it is half as dark, steps of the angle times radius, at each radius. */
  readonly halfWidths: Float64Array;
  readonly contrast: number;
}

/** Steps on each side of the needle in which a follower can touch it. */
const AROUND = 4;

/** Edges of the dark line between two steps at one radius, in steps; `null` where it does not fall to `level`. */
function edgesOf(
  darkness: Float64Array,
  grid: Grid,
  j: number,
  low: number,
  high: number,
  level: number,
): readonly [number, number] | null {
  const at = (i: number) => darkness[i * RADII.length + j]!;
  let top = low;
  for (let i = low; i <= high; i++) if (at(i) > at(top)) top = i;
  if (at(top) <= level) return null;
  let [from, to] = [top, top];
  while (from > 0 && at(from - 1) > level) from--;
  while (to < grid.angles - 1 && at(to + 1) > level) to++;
  if (from === 0 || to === grid.angles - 1) return null;
  return [
    from - (at(from) - level) / (at(from) - at(from - 1)),
    to + (at(to) - level) / (at(to) - at(to + 1)),
  ];
}

/** Half widths of the needle along its line, straight between its inner and its outer half. */
export function halfWidthsOf(
  darkness: Float64Array,
  grid: Grid,
  contrast: number,
  stepAt: (radius: number) => number,
): Float64Array {
  const seen = Array.from(RADII, (radius, j) => {
    const at = Math.round(stepAt(radius));
    const edges = edgesOf(
      darkness,
      grid,
      j,
      Math.max(1, at - 2),
      Math.min(grid.angles - 2, at + 2),
      contrast / 2,
    );
    return edges && { radius, half: ((edges[1] - edges[0]) / 2) * radius };
  }).filter((one) => one !== null);
  if (seen.length < 6) return new Float64Array(RADII.length);
  const middle = seen.length >> 1;
  const [inner, outer] = [seen.slice(0, middle), seen.slice(middle)].map((part) => ({
    radius: median(part.map(({ radius }) => radius)),
    half: median(part.map(({ half }) => half)),
  })) as [{ radius: number; half: number }, { radius: number; half: number }];
  const slope = (outer.half - inner.half) / (outer.radius - inner.radius);
  return RADII.map((radius) => Math.max(0, inner.half + slope * (radius - inner.radius)));
}

/**
 * Centre of the needle at one radius, in steps, from the edge that a follower does not cover; `undefined` where no
 * follower touches it, `null` where too little of the needle is left.
 */
export function centreBesideFollower(
  darkness: Float64Array,
  grid: Grid,
  covered: Covered,
  j: number,
  low: number,
  high: number,
): number | null | undefined {
  const { reddened, halfWidths, contrast } = covered;
  if (halfWidths[j] === 0) return undefined;
  const first = Math.max(0, low - AROUND);
  const last = Math.min(grid.angles - 1, high + AROUND);
  let [red, moment] = [0, 0];
  for (let i = first; i <= last; i++) {
    red += reddened[i * RADII.length + j]!;
    moment += reddened[i * RADII.length + j]! * i;
  }
  if (red < 0.4 * contrast) return undefined;
  const edges = edgesOf(darkness, grid, j, low, high, contrast / 2);
  if (edges === null) return null;
  const half = halfWidths[j]! / RADII[j]!;
  const isAhead = moment / red > (edges[0] + edges[1]) / 2;
  return isAhead ? edges[0] + half : edges[1] - half;
}
