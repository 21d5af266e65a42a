import type { EngineGeometry } from '../engine.ts';
import type { Cycle } from '../trace.ts';
import { type CrankDrive, crankCylinder, sweptCm3 } from './cranking-model.ts';

/** What of the engine the leak size cannot do without. */
export interface LeakGeometry {
  readonly boreMm: number;
  readonly strokeMm: number;
  readonly rodMm: number;
  readonly compressionRatio: number;
  readonly intakeClosesDegAbdc: number;
  readonly cycle: Cycle;
}

/** Effective area of a sound cylinder's leak: 0.4 to 0.8 mm2, of which the middle of those seen. */
export const SOUND_LEAK_MM2 = 0.56;

/** Leak areas at which the model is run, mm2, evenly spaced in the logarithm. */
const NODES = 12;
export const LEAST_LEAK_MM2 = 0.1;
export const MOST_LEAK_MM2 = 12;
const STEP = Math.log(MOST_LEAK_MM2 / LEAST_LEAK_MM2) / (NODES - 1);
const nodeMm2 = (i: number) => LEAST_LEAK_MM2 * Math.exp(i * STEP);

/** Added clearance at which the model is run, as a share of the clearance. */
const SPACES = [-0.15, 0.05, 0.3] as const;

/** Crank of an engine of 480 cm3 a cylinder and ratio 9.8; others in proportion to the work of compression. */
const USUAL_CRANK: CrankDrive = { inertiaKgM2: 0.22, driveNmPerRadPerS: 5 };
const USUAL_WORK = 480 * 9.8;

/** `strength` 1 is usual; a stronger crank slows less against the compression. */
export function usualCrank(g: LeakGeometry, strength: number): CrankDrive {
  const scale = (strength * sweptCm3(g.boreMm, g.strokeMm) * g.compressionRatio) / USUAL_WORK;
  return {
    inertiaKgM2: USUAL_CRANK.inertiaKgM2 * scale,
    driveNmPerRadPerS: USUAL_CRANK.driveNmPerRadPerS * scale,
  };
}

const USUAL = { rodToStroke: 1.65, intakeClosesDegAbdc: 55 } as const;

/** The card's figures, ordinary ones where rod or intake closing are missing; `null` without bore, stroke or ratio. */
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

export function clearanceCm3(g: LeakGeometry): number {
  return sweptCm3(g.boreMm, g.strokeMm) / (g.compressionRatio - 1);
}

/** The cylinder of this engine with an added space (share of the clearance), a leak and a crank of some strength. */
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

/** Natural logarithm of the peak (gauge kPa) over leak and added space, for one strength of crank. */
export interface PeakTable {
  lnPeak(leakMm2: number, space: number): number;
}

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

/** Cubic through the four nodes around `x` (in steps from the first node). */
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

function parabola(a: number, b: number, c: number, x: number): number {
  const [u, v, w] = SPACES;
  return (
    (a * (x - v) * (x - w)) / ((u - v) * (u - w)) +
    (b * (x - u) * (x - w)) / ((v - u) * (v - w)) +
    (c * (x - u) * (x - v)) / ((w - u) * (w - v))
  );
}
