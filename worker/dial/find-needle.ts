import { type Covered, centreBesideFollower } from './needle-edges.ts';
import { offsetOf, type Pivot } from './pivot.ts';
import { BEFORE, type Grid, RADII, STEP } from './polar.ts';

/** Darkness against the empty dial, 0 to about 1, on a grid; negative where it is brighter. */
export type Darkness = Float64Array;

/** A dark line that may be the needle. */
export interface Lobe {
  /** Direction, radians from zero. */
  readonly angle: number;
  /** Distance of its line from the centre, radii of the scale, and the variance of this measurement. */
  readonly offset: number;
  readonly offsetVariance: number;
  /** Mean darkness of its middle, as a share of the needle's at rest. */
  readonly peak: number;
  /** Width where it is half as dark, radians. */
  readonly width: number;
  /** Peak times width, a motion-blurred needle keeps it. */
  readonly area: number;
  /** Share of the radii that show it on one line. */
  readonly support: number;
  /** First and last step of the angle. */
  readonly from: number;
  readonly to: number;
}

/** Mean darkness over the radii along the lines through the pivot, for each step of the angle, 0 to 1 of `contrast`. */
export function profileOf(darkness: Darkness, grid: Grid, pivot: Pivot, contrast: number): Float64Array {
  const count = RADII.length;
  const profile = new Float64Array(grid.angles);
  for (let i = 0; i < grid.angles; i++) {
    const shift = offsetOf(pivot, (i - BEFORE) * STEP).offset / STEP;
    let sum = 0;
    for (let j = 0; j < count; j++) {
      const at = Math.round(i + shift / RADII[j]!);
      if (at < 0 || at >= grid.angles) continue;
      const dark = darkness[at * count + j]!;
      sum += dark <= 0 ? 0 : Math.min(dark, contrast);
    }
    profile[i] = sum / count / contrast;
  }
  return profile;
}

/** The darkest line of the profile. `covered`: for a needle that a follower may touch. `isFree`: steps to consider. */
export function darkestLobe(
  darkness: Darkness,
  profile: Float64Array,
  grid: Grid,
  pivot: Pivot,
  covered: Covered | null,
  isFree: (step: number) => boolean = () => true,
): Lobe | null {
  let top = -1;
  let best = 0;
  for (let i = 1; i < profile.length - 1; i++) {
    const value = profile[i]! + 0.5 * (profile[i - 1]! + profile[i + 1]!);
    if (value > best && isFree(i)) [best, top] = [value, i];
  }
  if (top < 0) return null;
  const peak = profile[top]!;
  let [from, to] = [top, top];
  while (from > 0 && profile[from - 1]! > 0.5 * peak) from--;
  while (to < profile.length - 1 && profile[to + 1]! > 0.5 * peak) to++;
  const line = fitLine(darkness, grid, pivot, covered, from, to);
  if (line === null) return null;
  let area = 0;
  for (let i = Math.max(0, from - 3); i <= Math.min(profile.length - 1, to + 3); i++)
    area += profile[i]! * STEP;
  const width = (to - from + 1) * STEP;
  return { ...line, peak, width, area, from, to };
}

/**
 * Line through the centroids at each radius: angle(r) = angle + offset / r, the offset held by what is known of the
 * pivot. Radii off the line are left out.
 */
function fitLine(
  darkness: Darkness,
  grid: Grid,
  pivot: Pivot,
  covered: Covered | null,
  from: number,
  to: number,
) {
  const count = RADII.length;
  const middle = ((from + to) / 2 - BEFORE) * STEP;
  const prior = offsetOf(pivot, middle);
  const reach = 3 + (to - from) / 2;
  const angles: number[] = [];
  const radii: number[] = [];
  for (let j = 0; j < count; j++) {
    const centre = (from + to) / 2 + prior.offset / STEP / RADII[j]!;
    const [low, high] = [
      Math.max(0, Math.ceil(centre - reach)),
      Math.min(grid.angles - 1, Math.floor(centre + reach)),
    ];
    let top = 0;
    for (let i = low; i <= high; i++) top = Math.max(top, darkness[i * count + j]!);
    if (top < 0.12) continue;
    const beside = covered && centreBesideFollower(darkness, grid, covered, j, low, high);
    if (typeof beside === 'number') {
      angles.push((beside - BEFORE) * STEP);
      radii.push(RADII[j]!);
    }
    if (covered !== null && beside !== undefined) continue;
    let [sum, moment] = [0, 0];
    for (let i = low; i <= high; i++) {
      // Above a level that the needle's shadow does not reach.
      const dark = darkness[i * count + j]! - 0.5 * top;
      if (dark <= 0) continue;
      sum += dark;
      moment += dark * i;
    }
    angles.push((moment / sum - BEFORE) * STEP);
    radii.push(RADII[j]!);
  }
  if (angles.length < 5) return null;
  let kept = angles.map(() => true);
  let angle = middle;
  let offset = prior.offset;
  let offsetVariance = 1;
  for (let round = 0; round < 3; round++) {
    // The spread of a centroid, radii of the scale.
    const sd = 0.006;
    let [n, s1, s2, t0, t1] = [0, 0, 0, 0, 0];
    for (let k = 0; k < angles.length; k++) {
      if (!kept[k]) continue;
      const w = (radii[k]! / sd) ** 2;
      n += w;
      s1 += w / radii[k]!;
      s2 += w / radii[k]! ** 2;
      t0 += w * angles[k]!;
      t1 += (w * angles[k]!) / radii[k]!;
    }
    if (n === 0) return null;
    const held = 1 / (prior.variance + 1e-6);
    const det = n * (s2 + held) - s1 * s1;
    offset = (n * (t1 + prior.offset * held) - s1 * t0) / det;
    angle = (t0 - s1 * offset) / n;
    const free = n * s2 - s1 * s1;
    offsetVariance = n / free;
    kept = angles.map((one, k) => Math.abs((one - angle - offset / radii[k]!) * radii[k]!) < 0.02);
  }
  // The offset as this needle alone shows it, for learning the pivot.
  const own = ownOffset(angles, radii, kept);
  return { angle, offset: own ?? offset, offsetVariance, support: kept.filter(Boolean).length / count };
}

function ownOffset(
  angles: readonly number[],
  radii: readonly number[],
  kept: readonly boolean[],
): number | null {
  let [n, s1, s2, t0, t1] = [0, 0, 0, 0, 0];
  for (let k = 0; k < angles.length; k++) {
    if (!kept[k]) continue;
    const w = radii[k]! ** 2;
    n += w;
    s1 += w / radii[k]!;
    s2 += w / radii[k]! ** 2;
    t0 += w * angles[k]!;
    t1 += (w * angles[k]!) / radii[k]!;
  }
  const det = n * s2 - s1 * s1;
  return det > 1e-9 ? (n * t1 - s1 * t0) / det : null;
}
