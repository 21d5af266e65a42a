import { lumaAt, type Picture } from './picture.ts';
import { type FittedScale, placeOf, toPicture } from './scale.ts';
import { solve } from './solve.ts';

/**
 * From the picture of the set-up to the current one: x' = ax x + bx y + cx, y' = ay x + by y + cy about the centre of the
 * dial, and brightness' = gain brightness + offset.
 */
export interface Registration {
  readonly ax: number;
  readonly bx: number;
  readonly cx: number;
  readonly ay: number;
  readonly by: number;
  readonly cy: number;
  readonly gain: number;
  readonly offset: number;
  /** Share of the edge pixels that agree. */
  readonly agreeing: number;
}

/** The picture of the set-up where it was taken. */
export const UNMOVED: Registration = {
  ax: 1,
  bx: 0,
  cx: 0,
  ay: 0,
  by: 1,
  cy: 0,
  gain: 1,
  offset: 0,
  agreeing: 1,
};

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
function softLuma(picture: Picture, x: number, y: number): number {
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

/** Residuals above this many grey levels count as outliers at the least. */
const OUTLIER = 10;

/** Refines a registration by robust Gauss-Newton steps. `null` when the dial is not where it was expected. */
function register(picture: Picture, edges: Edges, from: Registration): Registration | null {
  let current: Registration | null = from;
  for (let round = 0; round < 4 && current !== null; round++) {
    const next: Registration | null = improve(picture, edges, current);
    const isDone =
      next !== null && round > 0 && Math.abs(next.cx - current.cx) + Math.abs(next.cy - current.cy) < 0.02;
    current = next;
    if (isDone) break;
  }
  return current !== null && isPlausible(current) ? current : null;
}

function isPlausible({ ax, bx, ay, by, gain, agreeing }: Registration): boolean {
  const bent = Math.max(Math.abs(ax - 1), Math.abs(by - 1), Math.abs(bx), Math.abs(ay));
  return agreeing > 0.5 && bent < 0.12 && gain > 0.3 && gain < 3;
}

function improve(picture: Picture, edges: Edges, at: Registration): Registration | null {
  const n = edges.x.length;
  const errors = new Float64Array(n);
  const sizes: number[] = [];
  for (let i = 0; i < n; i++) {
    const [x, y] = [edges.x[i]!, edges.y[i]!];
    const seen = softLuma(
      picture,
      edges.centreX + at.ax * x + at.bx * y + at.cx,
      edges.centreY + at.ay * x + at.by * y + at.cy,
    );
    errors[i] = seen < 0 ? Number.NaN : seen - at.gain * edges.luma[i]! - at.offset;
    if (seen >= 0) sizes.push(Math.abs(errors[i]!));
  }
  if (sizes.length < n / 3) return null;
  sizes.sort((a, b) => a - b);
  const limit = Math.max(OUTLIER, 2.5 * sizes[sizes.length >> 1]!);
  const normal = Array.from({ length: 8 }, () => new Array<number>(8).fill(0));
  const right = new Array<number>(8).fill(0);
  const row = new Float64Array(8);
  let agreeing = 0;
  for (let i = 0; i < n; i++) {
    const error = errors[i]!;
    const weight = Math.abs(error) <= limit ? 1 : Number.isNaN(error) ? 0 : (limit / Math.abs(error)) ** 2;
    if (weight === 1) agreeing++;
    if (weight < 0.05) continue;
    const gx = edges.slopeX[i]! * at.gain;
    const gy = edges.slopeY[i]! * at.gain;
    const x = edges.x[i]! / 100;
    const y = edges.y[i]! / 100;
    row[0] = gx * x;
    row[1] = gx * y;
    row[2] = gx;
    row[3] = gy * x;
    row[4] = gy * y;
    row[5] = gy;
    row[6] = -edges.luma[i]!;
    row[7] = -1;
    for (let a = 0; a < 8; a++) {
      right[a]! -= weight * row[a]! * error;
      for (let b = 0; b <= a; b++) normal[a]![b]! += weight * row[a]! * row[b]!;
    }
  }
  for (let a = 0; a < 8; a++) {
    for (let b = a + 1; b < 8; b++) normal[a]![b] = normal[b]![a]!;
    normal[a]![a]! += 1e-6 + 1e-6 * normal[a]![a]!;
  }
  const step = solve(normal, right);
  if (step === null) return null;
  return {
    ax: at.ax + step[0]! / 100,
    bx: at.bx + step[1]! / 100,
    cx: at.cx + step[2]!,
    ay: at.ay + step[3]! / 100,
    by: at.by + step[4]! / 100,
    cy: at.cy + step[5]!,
    gain: at.gain + step[6]!,
    offset: at.offset + step[7]!,
    // A large limit makes everything agree: then the picture is another one.
    agreeing: limit > 60 ? 0 : agreeing / n,
  };
}

/** Reach of a search and its step, pixels. */
type Search = readonly (readonly [reach: number, step: number])[];
/** For the shake of a hand from frame to frame. */
const NEAR: Search = [[4, 1]];
/** For a bump, or a phone that was put back. */
const FAR: Search = [
  [36, 3],
  [2, 1],
];

/** Finds the dial: near its last place, else in a wide search. `null` when it is lost. */
export function locate(picture: Picture, edges: Edges, last: Registration): Registration | null {
  return (
    register(picture, edges, shifted(picture, edges, last, NEAR)) ??
    register(picture, edges, shifted(picture, edges, last, FAR))
  );
}

/** The registration with the shift, in whole pixels, at which the edges agree best. */
function shifted(picture: Picture, edges: Edges, around: Registration, search: Search): Registration {
  let best = { cx: around.cx, cy: around.cy, cost: costAt(picture, edges, around, around.cx, around.cy) };
  for (const [reach, step] of search) {
    const { cx, cy } = best;
    for (let dy = -reach; dy <= reach; dy += step) {
      for (let dx = -reach; dx <= reach; dx += step) {
        const cost = costAt(picture, edges, around, cx + dx, cy + dy);
        if (cost < best.cost) best = { cx: cx + dx, cy: cy + dy, cost };
      }
    }
  }
  return { ...around, cx: best.cx, cy: best.cy };
}

function costAt(picture: Picture, edges: Edges, at: Registration, cx: number, cy: number): number {
  let sum = 0;
  for (let i = 0; i < edges.x.length; i += 7) {
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
