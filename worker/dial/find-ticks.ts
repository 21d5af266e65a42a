import { median, quantile } from '../core/statistics.ts';
import type { FoundTick } from './fit-scale.ts';
import { lumaAt, type Picture } from './picture.ts';
import { divisionsOf, type FittedScale, placeOf } from './scale.ts';

/** Radii at which a tick is looked for; minor ticks may be short. */
const RADII = [0.988, 0.978, 0.968, 0.958];
/** Samples across, on each side of the expected place. */
const HALF = 16;

/** Ticks found near their places. */
export interface TickSearch {
  readonly ticks: readonly FoundTick[];
  /** Share of the ticks of the scale that were found. */
  readonly foundShare: number;
  /** Darkness of the place before zero and of that beyond full scale, as a share of a usual tick's. */
  readonly beyondEnds: readonly [number, number];
  /** The same of the last tick of the scale. */
  readonly atTop: number;
}

/** Looks for every tick at most `reach` divisions from its place; its position is the centroid of the darkness. */
export function findTicks(picture: Picture, scale: FittedScale, reach: number): TickSearch {
  const count = divisionsOf(scale);
  const ticks: FoundTick[] = [];
  const depths: number[] = [];
  let found = 0;
  for (let k = 0; k <= count; k++) {
    const seen = RADII.map((radius) => tickAt(picture, scale, k / count, radius, reach / count));
    depths.push(Math.max(...seen.map(({ depth }) => depth)));
  }
  const usual = [...depths].sort((a, b) => a - b)[depths.length >> 1]!;
  // The needle at rest covers the tick at zero.
  for (let k = 1; k <= count; k++) {
    let isFound = false;
    for (const radius of RADII) {
      const { depth, tick } = tickAt(picture, scale, k / count, radius, reach / count);
      if (tick === null || depth < 0.45 * usual || depth < 6) continue;
      isFound = true;
      ticks.push(tick);
    }
    if (isFound) found++;
  }
  const whole = Array.from({ length: count + 3 }, (_, k) => depthOverRadii(picture, scale, k - 1));
  const usualWhole = median(whole);
  return {
    ticks,
    foundShare: found / count,
    beyondEnds: [whole[0]! / usualWhole, whole[count + 2]! / usualWhole],
    atTop: whole[count + 1]! / usualWhole,
  };
}

/** Darkness of the k-th place, all radii together: in a noisy picture one of several is dark by chance. */
function depthOverRadii(picture: Picture, scale: FittedScale, k: number): number {
  const count = divisionsOf(scale);
  const values = Array.from({ length: 2 * HALF + 1 }, (_, i) => {
    const share = (k + (0.5 * (i - HALF)) / HALF) / count;
    const lumas = RADII.map((radius) => {
      const { x, y } = placeOf(scale, share, radius);
      return lumaAt(picture, x, y);
    });
    return lumas.reduce((sum, one) => sum + one, 0) / RADII.length;
  });
  const darkest = Math.min(...values.slice(1).map((one, i) => (one + values[i]!) / 2));
  return quantile(values, 0.8) - darkest;
}

/** Darkness across one place of the ring. `depth`: grey levels below the surroundings; `tick`: where it is centred. */
function tickAt(
  picture: Picture,
  scale: FittedScale,
  share: number,
  radius: number,
  halfShare: number,
): { readonly depth: number; readonly tick: FoundTick | null } {
  const values: number[] = [];
  for (let i = -HALF; i <= HALF; i++) {
    const { x, y } = placeOf(scale, share + (i / HALF) * halfShare, radius);
    values.push(lumaAt(picture, x, y));
  }
  if (values.includes(-1)) return { depth: 0, tick: null };
  const paper = [...values].sort((a, b) => a - b)[Math.floor(1.6 * HALF)]!;
  let darkest = 0;
  for (let i = 1; i < values.length; i++) {
    // Mean of two neighbours, against noise.
    if (values[i]! + values[i - 1]! < values[darkest]! + values[Math.max(0, darkest - 1)]!) darkest = i;
  }
  const depth = paper - (values[darkest]! + values[Math.max(0, darkest - 1)]!) / 2;
  let [sum, moment] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    const dark = paper - values[i]! - 0.35 * depth;
    if (dark <= 0 || Math.abs(i - darkest) > HALF * 0.6) continue;
    sum += dark;
    moment += dark * (i - HALF);
  }
  // Darkness at the very end of the search belongs to a neighbour.
  if (sum === 0 || darkest < 2 || darkest > values.length - 2) return { depth, tick: null };
  const centre = share + (moment / sum / HALF) * halfShare;
  return { depth, tick: { ...placeOf(scale, centre, radius), share, radius, weight: 2 } };
}
