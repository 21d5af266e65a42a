import { type Edges, softLuma } from './edges.ts';
import type { Picture } from './picture.ts';
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
  /** Share of the edge pixels that agree, and the median of their differences, grey levels. */
  readonly agreeing: number;
  readonly residual: number;
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
  residual: 0,
};

/** Residuals above this many grey levels count as outliers at the least. */
const OUTLIER = 10;

/** Refines a registration by robust Gauss-Newton steps. `null` when the dial is not where it was expected. */
export function register(picture: Picture, edges: Edges, from: Registration): Registration | null {
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
    residual: sizes[sizes.length >> 1]!,
  };
}
