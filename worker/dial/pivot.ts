/**
 * Where the needle's pivot appears on the face. The needle lies above the face, so a tilted view shifts its picture by the
 * same vector everywhere: directions stay, the pivot moves. In radii of the scale, with its covariance.
 */
export interface Pivot {
  readonly x: number;
  readonly y: number;
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

/** Distance of the pivot from the ray at an angle, seen from the centre, and its variance. */
export function offsetOf(
  pivot: Pivot,
  angle: number,
): { readonly offset: number; readonly variance: number } {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return {
    offset: pivot.y * c - pivot.x * s,
    variance: pivot.xx * s * s - 2 * pivot.xy * s * c + pivot.yy * c * c,
  };
}

/** Kalman update by a needle at `angle` whose line passes the centre at `offset`. */
export function withOffset(pivot: Pivot, angle: number, offset: number, variance: number): Pivot {
  const [hx, hy] = [-Math.sin(angle), Math.cos(angle)];
  const px = pivot.xx * hx + pivot.xy * hy;
  const py = pivot.xy * hx + pivot.yy * hy;
  const total = hx * px + hy * py + variance;
  const surprise = offset - (hx * pivot.x + hy * pivot.y);
  const [gx, gy] = [px / total, py / total];
  return {
    x: pivot.x + gx * surprise,
    y: pivot.y + gy * surprise,
    xx: pivot.xx - gx * px,
    xy: pivot.xy - gx * py,
    yy: pivot.yy - gy * py,
  };
}
