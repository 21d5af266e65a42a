import { type FittedScale, type Mark, type Point, placeOf, type Scale, toPicture } from './scale.ts';
import { solve } from './solve.ts';

/** A tick found on the picture: its share of full scale and the radius at which it was measured. */
export interface FoundTick extends Point {
  readonly share: number;
  readonly radius: number;
  readonly weight: number;
}

/** Standard deviation of a tap, pixels: along the ring, and for the hub, which lies above the face. */
const TAP_SD_PX = 4;
const HUB_SD_PX = 8;

/**
 * First estimate from taps alone: a circle about the hub, with the sweep by regression of the angles of the marks.
 * `null` when the marks do not run clockwise in the order of their values.
 */
export function roughScale(hub: Point, marks: readonly Mark[], scale: Scale): FittedScale | null {
  const sorted = [...marks].sort((a, b) => a.v - b.v);
  let last = Number.NaN;
  const angles: number[] = [];
  for (const { x, y } of sorted) {
    let angle = Math.atan2(y - hub.y, x - hub.x);
    while (angle <= last) angle += 2 * Math.PI;
    angles.push(angle);
    last = angle;
  }
  if (angles.length < 4 || last - angles[0]! > 2 * Math.PI) return null;
  const shares = sorted.map(({ v }) => v / scale.fullScale);
  const mean = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length;
  const [meanShare, meanAngle] = [mean(shares), mean(angles)];
  const over = shares.reduce((sum, one) => sum + (one - meanShare) ** 2, 0);
  const sweep = shares.reduce((sum, one, i) => sum + (one - meanShare) * (angles[i]! - meanAngle), 0) / over;
  if (!(sweep > 0.5 && sweep < 6.2)) return null;
  const start = meanAngle - sweep * meanShare;
  const radius = mean(sorted.map(({ x, y }) => Math.hypot(x - hub.x, y - hub.y)));
  const [c, s] = [radius * Math.cos(start), radius * Math.sin(start)];
  return { ...scale, sweep, homography: [c, -s, hub.x, s, c, hub.y, 0, 0, 1] };
}

/**
 * Levenberg-Marquardt over homography and sweep. Taps hold the ring in both directions; ticks, which are lines, along
 * the ring only. `null` when it diverges.
 */
export function fitScale(
  start: FittedScale,
  hub: Point,
  marks: readonly Mark[],
  ticks: readonly FoundTick[],
): FittedScale | null {
  let p = [...start.homography.slice(0, 8), start.sweep];
  const scaleOf = (q: readonly number[]): FittedScale => ({
    ...start,
    homography: [...q.slice(0, 8), 1],
    sweep: q[8]!,
  });
  const residuals = (q: readonly number[]): number[] => {
    const fitted = scaleOf(q);
    const centre = toPicture(fitted, 0, 0);
    const out = [(centre.x - hub.x) / HUB_SD_PX, (centre.y - hub.y) / HUB_SD_PX];
    for (const mark of marks) {
      const at = placeOf(fitted, mark.v / start.fullScale, 1);
      out.push((at.x - mark.x) / TAP_SD_PX, (at.y - mark.y) / TAP_SD_PX);
    }
    for (const tick of ticks) out.push(alongRing(fitted, tick) * tick.weight);
    return out;
  };
  const cost = (values: readonly number[]) => values.reduce((sum, one) => sum + one * one, 0);
  const steps = [0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 1e-5, 1e-5, 1e-5];
  let current = residuals(p);
  let damping = 1e-3;
  for (let round = 0; round < 25; round++) {
    const columns = steps.map((step, k) => {
      const moved = residuals(p.map((one, i) => (i === k ? one + step : one)));
      return moved.map((one, i) => (one - current[i]!) / step);
    });
    const normal = columns.map((a) => columns.map((b) => a.reduce((sum, one, i) => sum + one * b[i]!, 0)));
    const right = columns.map((a) => -a.reduce((sum, one, i) => sum + one * current[i]!, 0));
    const damped = normal.map((row, i) => row.map((one, j) => (i === j ? one * (1 + damping) + 1e-12 : one)));
    const step = solve(damped, right);
    if (step === null) return null;
    const next = p.map((one, i) => one + step[i]!);
    const tried = residuals(next);
    const [before, after] = [cost(current), cost(tried)];
    if (after <= before) {
      p = next;
      current = tried;
      damping = Math.max(1e-9, damping / 10);
      if (before - after < 1e-9 * before) break;
    } else {
      damping *= 10;
      if (damping > 1e8) break;
    }
  }
  return p.every(Number.isFinite) ? scaleOf(p) : null;
}

/** Distance of a tick from its place, along the ring, pixels. */
export function alongRing(scale: FittedScale, tick: FoundTick): number {
  const at = placeOf(scale, tick.share, tick.radius);
  const ahead = placeOf(scale, tick.share + 0.001, tick.radius);
  const [tx, ty] = [ahead.x - at.x, ahead.y - at.y];
  return ((tick.x - at.x) * tx + (tick.y - at.y) * ty) / Math.hypot(tx, ty);
}
