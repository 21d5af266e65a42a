import { type Edges, softLuma } from './edges.ts';
import type { Picture } from './picture.ts';
import { type Registration, register } from './registration.ts';

/** Reach of a search and its step, pixels. */
type Search = readonly (readonly [reach: number, step: number])[];
/** For the shake of a hand from frame to frame. */
const NEAR: Search = [[4, 1]];
/** For a bump, or a phone that was put back. */
const FAR: Search = [
  [36, 4],
  [3, 1],
];

/**
 * Finds the dial: near its last place, else in a wide search. `usual`: the residual of a good registration, from frames
 * before; a larger one means that ticks were matched with others. `null` when the dial is lost.
 */
export function locate(
  picture: Picture,
  edges: Edges,
  last: Registration,
  usual: number,
): Registration | null {
  const near = register(picture, edges, shifted(picture, edges, last, NEAR));
  if (near !== null && near.residual < 1.6 * usual + 2) return near;
  // The turn of the last frame may be a wrong one.
  const straight = { ...last, ax: 1, bx: 0, ay: 0, by: 1 };
  const far = register(picture, edges, shifted(picture, edges, straight, FAR));
  const best = far === null || (near !== null && near.residual <= far.residual) ? near : far;
  return best !== null && best.residual < 2.5 * usual + 4 ? best : null;
}

/** The registration with the shift, in whole pixels, at which the edges agree best. */
function shifted(picture: Picture, edges: Edges, around: Registration, search: Search): Registration {
  let best = {
    cx: around.cx,
    cy: around.cy,
    cost: costAt(picture, edges, around, around.cx, around.cy, Number.POSITIVE_INFINITY),
  };
  for (const [reach, step] of search) {
    const { cx, cy } = best;
    for (let dy = -reach; dy <= reach; dy += step) {
      for (let dx = -reach; dx <= reach; dx += step) {
        const cost = costAt(picture, edges, around, cx + dx, cy + dy, best.cost);
        if (cost < best.cost) best = { cx: cx + dx, cy: cy + dy, cost };
      }
    }
  }
  return { ...around, cx: best.cx, cy: best.cy };
}

/** One of so many edge pixels is compared. */
const STRIDE = 11;

function costAt(
  picture: Picture,
  edges: Edges,
  at: Registration,
  cx: number,
  cy: number,
  most: number,
): number {
  let sum = 0;
  for (let i = 0; i < edges.x.length; i += STRIDE) {
    // Most places are worse than the best one long before the end.
    if (sum > most) return sum;
    const [x, y] = [edges.x[i]!, edges.y[i]!];
    const seen = softLuma(
      picture,
      edges.centreX + at.ax * x + at.bx * y + cx,
      edges.centreY + at.ay * x + at.by * y + cy,
    );
    sum += seen < 0 ? 60 : Math.min(60, Math.abs(seen - at.gain * edges.luma[i]! - at.offset));
  }
  return sum;
}
