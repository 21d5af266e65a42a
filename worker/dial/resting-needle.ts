import { median } from '../core/statistics.ts';
import { darkestLobe, type Lobe, profileOf } from './find-needle.ts';
import { halfWidthsOf } from './needle-edges.ts';
import { offsetOf, type Pivot, withOffset } from './pivot.ts';
import { BEFORE, type Grid, RADII, STEP } from './polar.ts';
import { type FittedScale, type Point, radiusPxOf } from './scale.ts';

/** Needle on the picture of the set-up. */
export interface RestingNeedle {
  /** Direction, radians from zero. */
  readonly angle: number;
  /** Darkness against the paper, as a share of the paper's brightness. */
  readonly contrast: number;
  readonly width: number;
  readonly area: number;
  /** As in `Covered`. */
  readonly halfWidths: Float64Array;
  readonly pivot: Pivot;
}

/** Standard deviation of the tap on the hub, pixels. */
const HUB_TAP_SD_PX = 4;
/** Steps to each side over which the paper is the median. */
const AROUND = 40;

/** Finds the darkest straight line through the hub, on darkness from `darknessOf`; `null` when there is none. */
export function findNeedleAtRest(
  darkness: Float64Array,
  grid: Grid,
  scale: FittedScale,
  hub: Point,
): RestingNeedle | null {
  let pivot = pivotFromTap(scale, hub);
  let contrast = 0.6;
  let found: Lobe | null = null;
  for (let round = 0; round < 3; round++) {
    const profile = profileOf(darkness, grid, pivot, contrast);
    found = darkestLobe(darkness, profile, grid, pivot, null);
    if (found === null) return null;
    contrast = contrastAlong(darkness, grid, pivot, found.angle);
    if (contrast < 0.05) return null;
    pivot = withOffset(pivotFromTap(scale, hub), found.angle, found.offset, found.offsetVariance);
  }
  if (found === null) return null;
  const { angle, width, area } = found;
  const { offset } = offsetOf(pivot, angle);
  const stepAt = (radius: number) => (angle + offset / radius) / STEP + BEFORE;
  const halfWidths = halfWidthsOf(darkness, grid, contrast, stepAt);
  return { angle, contrast, width, area, halfWidths, pivot };
}

/** Darkness against the median of the neighbourhood at the same radius. */
export function darknessOf(luma: Float64Array, grid: Grid): Float64Array {
  const count = RADII.length;
  const darkness = new Float64Array(luma.length);
  for (let j = 0; j < count; j++) {
    for (let i = 0; i < grid.angles; i++) {
      const from = Math.max(0, Math.min(grid.angles - 2 * AROUND - 1, i - AROUND));
      const around = Float64Array.from({ length: 2 * AROUND + 1 }, (_, k) => luma[(from + k) * count + j]!);
      const paper = Math.max(10, median(around));
      darkness[i * count + j] = (paper - luma[i * count + j]!) / paper;
    }
  }
  return darkness;
}

function contrastAlong(darkness: Float64Array, grid: Grid, pivot: Pivot, angle: number): number {
  const { offset } = offsetOf(pivot, angle);
  const depths = Array.from(RADII, (radius, j) => {
    const at = Math.round((angle + offset / radius) / STEP) + BEFORE;
    let most = 0;
    for (let i = Math.max(0, at - 3); i <= Math.min(grid.angles - 1, at + 3); i++) {
      most = Math.max(most, darkness[i * RADII.length + j]!);
    }
    return most;
  });
  return median(depths);
}

/** Inverse of the homography at the tapped hub, by Newton's method from the centre. */
function pivotFromTap(scale: FittedScale, hub: Point): Pivot {
  const h = scale.homography;
  const radius = radiusPxOf(scale);
  let [x, y] = [0, 0];
  for (let round = 0; round < 4; round++) {
    const w = h[6]! * x + h[7]! * y + 1;
    const px = (h[0]! * x + h[1]! * y + h[2]!) / w;
    const py = (h[3]! * x + h[4]! * y + h[5]!) / w;
    const [a, b] = [(h[0]! - h[6]! * px) / w, (h[1]! - h[7]! * px) / w];
    const [c, d] = [(h[3]! - h[6]! * py) / w, (h[4]! - h[7]! * py) / w];
    const det = a * d - b * c;
    x += (d * (hub.x - px) - b * (hub.y - py)) / det;
    y += (-c * (hub.x - px) + a * (hub.y - py)) / det;
  }
  const variance = (HUB_TAP_SD_PX / radius) ** 2;
  return { x, y, xx: variance, xy: 0, yy: variance };
}
