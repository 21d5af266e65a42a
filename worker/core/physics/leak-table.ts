import type { EngineGeometry } from '../engine.ts';
import type { Cycle } from '../trace.ts';
import { type CrankDrive, crankCylinder, sweptCm3 } from './cranking-model.ts';

/** Engine geometry that the leak estimate requires. mm, and crank degrees after bottom dead centre. */
export interface LeakGeometry {
  readonly boreMm: number;
  readonly strokeMm: number;
  readonly rodMm: number;
  readonly compressionRatio: number;
  readonly intakeClosesDegAbdc: number;
  readonly cycle: Cycle;
}

/** Effective leak area of a sound cylinder: the middle of the observed 0.4 to 0.8 mm2. */
export const SOUND_LEAK_MM2 = 0.56;

/** Number of leak areas at which the model is evaluated, evenly spaced in the logarithm. */
const NODES = 12;
/** Smallest leak area of the grid. */
export const LEAST_LEAK_MM2 = 0.1;
/** Largest leak area of the grid. */
export const MOST_LEAK_MM2 = 12;
const STEP = Math.log(MOST_LEAK_MM2 / LEAST_LEAK_MM2) / (NODES - 1);
const nodeMm2 = (i: number) => LEAST_LEAK_MM2 * Math.exp(i * STEP);

/** Added clearance at which the model is evaluated, as a share of the clearance. */
const SPACES = [-0.15, 0.05, 0.3] as const;

/**
 * Crank of an engine of 480 cm3 per cylinder and ratio 9.8. Scaled by displacement times ratio for others, in
 * proportion to the work of compression.
 */
const USUAL_CRANK: CrankDrive = { inertiaKgM2: 0.22, driveNmPerRadPerS: 5 };
const USUAL_WORK = 480 * 9.8;

/** Crank drive for this engine. `strength` 1 is usual; a stronger crank slows less against the compression. */
export function usualCrank(g: LeakGeometry, strength: number): CrankDrive {
  const scale = (strength * sweptCm3(g.boreMm, g.strokeMm) * g.compressionRatio) / USUAL_WORK;
  return {
    inertiaKgM2: USUAL_CRANK.inertiaKgM2 * scale,
    driveNmPerRadPerS: USUAL_CRANK.driveNmPerRadPerS * scale,
  };
}

/** Defaults for a missing rod length and intake closing. */
const USUAL = { rodToStroke: 1.65, intakeClosesDegAbdc: 55 } as const;

/**
 * The engine card's figures, with defaults for a missing rod or intake closing. `null` without a valid bore, stroke
 * or ratio.
 */
export function usualGeometry(geometry: EngineGeometry, cycle: Cycle): LeakGeometry | null {
  const { boreMm, compressionRatio, intakeClosesDegAbdc, rodMm, strokeMm } = geometry;
  if (boreMm === undefined || strokeMm === undefined || compressionRatio === undefined) return null;
  if (!(boreMm > 0) || !(strokeMm > 0) || !(compressionRatio > 1)) return null;
  return {
    boreMm,
    strokeMm,
    compressionRatio,
    rodMm: rodMm ?? USUAL.rodToStroke * strokeMm,
    intakeClosesDegAbdc: intakeClosesDegAbdc ?? USUAL.intakeClosesDegAbdc,
    cycle,
  };
}

/** Clearance volume of one cylinder, cm3. */
export function clearanceCm3(g: LeakGeometry): number {
  return sweptCm3(g.boreMm, g.strokeMm) / (g.compressionRatio - 1);
}

/** Runs the cranking model for this engine. `space`: added clearance as a share; `strength`: see `usualCrank`. */
export function crankEngine(
  g: LeakGeometry,
  ambientKpa: number,
  rpm: number,
  leakMm2: number,
  space: number,
  strength: number,
) {
  return crankCylinder({
    ...g,
    clearanceCm3: clearanceCm3(g) * (1 + space),
    chargeKpa: ambientKpa,
    ambientKpa,
    leakMm2,
    rpm,
    crank: usualCrank(g, strength),
  });
}

/** Natural logarithm of the peak (gauge kPa) by leak area and added clearance, at one crank strength. */
export interface PeakTable {
  lnPeak(leakMm2: number, space: number): number;
}

/**
 * Evaluates the model on a grid of leak and clearance, and interpolates: cubic in ln leak, quadratic in clearance.
 */
export function peakTable(g: LeakGeometry, ambientKpa: number, rpm: number, strength: number): PeakTable {
  const rows = SPACES.map((space) =>
    Float64Array.from({ length: NODES }, (_, i) =>
      Math.log(Math.max(1, crankEngine(g, ambientKpa, rpm, nodeMm2(i), space, strength).peakKpa)),
    ),
  );
  return {
    lnPeak(leakMm2, space) {
      const x = Math.log(leakMm2 / LEAST_LEAK_MM2) / STEP;
      const [a, b, c] = rows.map((row) => cubic(row, x)) as [number, number, number];
      return parabola(a, b, c, space);
    },
  };
}

/** Cubic interpolation through the four nodes around `x`, in steps from the first node. */
function cubic(row: Float64Array, x: number): number {
  const i = Math.min(row.length - 3, Math.max(1, Math.floor(x)));
  const t = x - i;
  const [p, q, r, s] = [row[i - 1]!, row[i]!, row[i + 1]!, row[i + 2]!];
  return (
    (-p * t * (t - 1) * (t - 2)) / 6 +
    (q * (t + 1) * (t - 1) * (t - 2)) / 2 -
    (r * (t + 1) * t * (t - 2)) / 2 +
    (s * (t + 1) * t * (t - 1)) / 6
  );
}

/** Parabola through the values `a`, `b`, `c` at `SPACES`, evaluated at `x`. */
function parabola(a: number, b: number, c: number, x: number): number {
  const [u, v, w] = SPACES;
  return (
    (a * (x - v) * (x - w)) / ((u - v) * (u - w)) +
    (b * (x - u) * (x - w)) / ((v - u) * (v - w)) +
    (c * (x - u) * (x - v)) / ((w - u) * (w - v))
  );
}
