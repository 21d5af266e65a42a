import { lumaAt, type Picture } from './picture.ts';
import { type FittedScale, placeOf, toPicture } from './scale.ts';

/** Static edges of the picture of the set-up. Positions are relative to the centre of the dial, pixels. */
export interface Edges {
  readonly centreX: number;
  readonly centreY: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly luma: Float64Array;
  readonly slopeX: Float64Array;
  readonly slopeY: Float64Array;
}

const SECTORS = 24;
const A_SECTOR = 34;

/** Softening, pixels: thin ticks would otherwise look paler between pixels than on them. */
const SOFT = 1.3;

/** Luma of a small neighbourhood; -1 outside the picture. */
export function softLuma(picture: Picture, x: number, y: number): number {
  const left = lumaAt(picture, x - SOFT, y);
  const right = lumaAt(picture, x + SOFT, y);
  const above = lumaAt(picture, x, y - SOFT);
  const below = lumaAt(picture, x, y + SOFT);
  if (left < 0 || right < 0 || above < 0 || below < 0) return -1;
  return (2 * lumaAt(picture, x, y) + left + right + above + below) / 6;
}

/** Picks the strongest edges of ticks, numbers and rim, evenly around the dial but for the needle's place at rest. */
export function findEdges(picture: Picture, scale: FittedScale, restAngle: number): Edges {
  const centre = toPicture(scale, 0, 0);
  const picked: { x: number; y: number; luma: number; gx: number; gy: number }[] = [];
  for (let sector = 0; sector < SECTORS; sector++) {
    const found: typeof picked = [];
    for (let i = 0; i < 18; i++) {
      const angle = ((sector + i / 18) / SECTORS) * 2 * Math.PI;
      if (Math.abs(wrapped(angle - restAngle)) < 0.17) continue;
      for (let radius = 0.66; radius < 1.28; radius += 0.012) {
        const at = placeOf(scale, angle / scale.sweep, radius);
        const [x, y] = [Math.round(at.x), Math.round(at.y)];
        if (x < 4 || y < 4 || x > picture.width - 5 || y > picture.height - 5) continue;
        const gx = (softLuma(picture, x + 1, y) - softLuma(picture, x - 1, y)) / 2;
        const gy = (softLuma(picture, x, y + 1) - softLuma(picture, x, y - 1)) / 2;
        found.push({ x, y, luma: softLuma(picture, x, y), gx, gy });
      }
    }
    found.sort((a, b) => Math.hypot(b.gx, b.gy) - Math.hypot(a.gx, a.gy));
    picked.push(...found.slice(0, A_SECTOR));
  }
  return {
    centreX: centre.x,
    centreY: centre.y,
    x: Float64Array.from(picked, (one) => one.x - centre.x),
    y: Float64Array.from(picked, (one) => one.y - centre.y),
    luma: Float64Array.from(picked, (one) => one.luma),
    slopeX: Float64Array.from(picked, (one) => one.gx),
    slopeY: Float64Array.from(picked, (one) => one.gy),
  };
}

/** The angle between -pi and pi. */
const wrapped = (angle: number): number => Math.atan2(Math.sin(angle), Math.cos(angle));
