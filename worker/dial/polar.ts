import type { Edges } from './edges.ts';
import { lumaAt, type Picture, redAt } from './picture.ts';
import type { Registration } from './registration.ts';
import { type FittedScale, toPicture } from './scale.ts';

/** Angle between two samples, radians. */
export const STEP = Math.PI / 360;
/** Angles sampled before zero and beyond full scale, in steps. */
export const BEFORE = 36;
/** Radii sampled: outside the hub, inside the ticks. */
export const RADII = Float64Array.from({ length: 14 }, (_, j) => 0.3 + 0.038 * j);

/** Places on the dial by angle and radius; index `angle * RADII.length + radius`. Relative to the centre, pixels. */
export interface Grid {
  readonly angles: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** Grid over a fitted scale. */
export function createGrid(scale: FittedScale): Grid {
  const angles = Math.ceil(scale.sweep / STEP) + 2 * BEFORE;
  const centre = toPicture(scale, 0, 0);
  const x = new Float64Array(angles * RADII.length);
  const y = new Float64Array(angles * RADII.length);
  for (let i = 0; i < angles; i++) {
    const angle = (i - BEFORE) * STEP;
    for (let j = 0; j < RADII.length; j++) {
      const at = toPicture(scale, RADII[j]! * Math.cos(angle), RADII[j]! * Math.sin(angle));
      x[i * RADII.length + j] = at.x - centre.x;
      y[i * RADII.length + j] = at.y - centre.y;
    }
  }
  return { angles, x, y };
}

/** Luma of the picture on the grid, moved by a registration; -1 outside the picture. */
export function sampleLuma(
  picture: Picture,
  grid: Grid,
  edges: Edges,
  at: Registration,
  out: Float64Array,
): void {
  for (let k = 0; k < out.length; k++) {
    const x = grid.x[k]!;
    const y = grid.y[k]!;
    out[k] = lumaAt(
      picture,
      edges.centreX + at.ax * x + at.bx * y + at.cx,
      edges.centreY + at.ay * x + at.by * y + at.cy,
    );
  }
}

/** Red chroma at one place of the grid. */
export function sampleRed(picture: Picture, grid: Grid, edges: Edges, at: Registration, k: number): number {
  const x = grid.x[k]!;
  const y = grid.y[k]!;
  return redAt(
    picture,
    edges.centreX + at.ax * x + at.bx * y + at.cx,
    edges.centreY + at.ay * x + at.by * y + at.cy,
  );
}
