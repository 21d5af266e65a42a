/** Printed scale of a dial: from 0 to `fullScale`, with a tick each `division`. Any unit of pressure. */
export interface Scale {
  readonly fullScale: number;
  readonly division: number;
}

/** Position on the picture, pixels. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Outer end of a printed tick on the picture, with its value. */
export interface Mark extends Point {
  readonly v: number;
}

/**
 * Where the scale lies on the picture: a homography from the dial's plane, in which the outer ends of the ticks lie on
 * the unit circle and zero is at angle 0, and the sweep, radians clockwise on the picture.
 */
export interface FittedScale extends Scale {
  /** Row-major 3x3, the last element is 1. */
  readonly homography: readonly number[];
  readonly sweep: number;
}

/** Number of divisions from zero to full scale. */
export const divisionsOf = ({ fullScale, division }: Scale): number => Math.round(fullScale / division);

/** The picture of a point of the dial's plane. */
export function toPicture({ homography: h }: FittedScale, x: number, y: number): Point {
  const w = h[6]! * x + h[7]! * y + h[8]!;
  return { x: (h[0]! * x + h[1]! * y + h[2]!) / w, y: (h[3]! * x + h[4]! * y + h[5]!) / w };
}

/** The picture of a place given by its share of full scale and its radius (1 is the outer end of the ticks). */
export function placeOf(scale: FittedScale, share: number, radius: number): Point {
  const angle = scale.sweep * share;
  return toPicture(scale, radius * Math.cos(angle), radius * Math.sin(angle));
}

/** Points to draw over the picture, so that a person can compare the fitted scale with the printed one. */
export function pointsToDraw(
  scale: FittedScale,
): (Mark & { readonly innerX: number; readonly innerY: number })[] {
  const count = divisionsOf(scale);
  return Array.from({ length: count + 1 }, (_, k) => {
    const outer = placeOf(scale, k / count, 1);
    const inner = placeOf(scale, k / count, 0.93);
    return { v: k * scale.division, ...outer, innerX: inner.x, innerY: inner.y };
  });
}

/** Mean radius of the scale on the picture, pixels. */
export function radiusPxOf(scale: FittedScale): number {
  const hub = toPicture(scale, 0, 0);
  const around = Array.from({ length: 12 }, (_, i) => {
    const angle = (i * Math.PI) / 6;
    const point = toPicture(scale, Math.cos(angle), Math.sin(angle));
    return Math.hypot(point.x - hub.x, point.y - hub.y);
  });
  return around.reduce((sum, one) => sum + one, 0) / around.length;
}
