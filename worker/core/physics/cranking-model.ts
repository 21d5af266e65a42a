import type { Cycle } from '../trace.ts';
import { CRITICAL_RATIO, nozzleFlow } from './nozzle-flow.ts';

/**
 * Model of one working cycle of a cranked cylinder that conserves mass, energy and momentum: dry air in one zone,
 * heat to the walls, a leak to the ambient air, and a crank driven by the starter that slows against the compression.
 * Fast enough to be inverted for the leak. Equations and sources: README.md.
 */
export interface CylinderModel {
  readonly boreMm: number;
  readonly strokeMm: number;
  readonly rodMm: number;
  /** Volume at top dead centre, including what the adapter adds, less what oil displaces. */
  readonly clearanceCm3: number;
  readonly intakeClosesDegAbdc: number;
  readonly cycle: Cycle;
  /** Pressure in the cylinder when the intake closes, and of the ambient air; absolute kPa. */
  readonly chargeKpa: number;
  readonly ambientKpa: number;
  /** Effective area of the leak, discharge coefficient included. */
  readonly leakMm2: number;
  /** Mean speed over the cycle. */
  readonly rpm: number;
  readonly crank: CrankDrive;
}

/** Drive of the crank, referred to the crank. The starter's torque, less friction, falls linearly with speed. */
export interface CrankDrive {
  readonly inertiaKgM2: number;
  /** Torque per rad/s that the crank turns below the starter's free speed. */
  readonly driveNmPerRadPerS: number;
}

/** Result of `crankCylinder`. */
export interface CrankedCylinder {
  /** Highest pressure, gauge. */
  readonly peakKpa: number;
  /** Time for which the pressure exceeds half of its peak (gauge). */
  readonly halfWidthS: number;
  /** Share of the charge lost through the leak by the time of the peak, 0 to 1. */
  readonly lostShare: number;
}

/** Specific gas constant of dry air, J/(kg K). */
const GAS_CONSTANT = 287.058;
const CHOKED = nozzleFlow(CRITICAL_RATIO);

/** Temperatures of charge and walls of a warm engine that was stopped a moment ago, K. */
const CHARGE_KELVIN = 305;
const WALL_KELVIN = 340;
/** Exhaust opening before bottom dead centre. Affects the crank's speed only. */
const EXHAUST_OPENS_DEG_BBDC = 50;
/**
 * Heat transfer coefficient at 1 bar and 300 K, and its powers of pressure and temperature: Woschni's powers (Heywood
 * 1988, eq. 12.38, recalled), without the speed. The coefficient is set so that sound cylinders of known ratio read
 * as they do. Part of it accounts for crevices and hoses, which take gas from the compression and return it.
 */
const HEAT = { wPerM2K: 75, byPressure: 0.8, byKelvin: -0.55 } as const;

/** Friction torque while the crank overruns the starter's one-way clutch, Nm. */
const OVERRUN_NM = 25;
const LEAST_RAD_PER_S = 1;

/** Crank angle of one step. Half of it changes peak and width by less than 0.2 %. */
const STEP_RAD = Math.PI / 60;
const OPEN_STEPS = 8;
/** Relative tolerance of the periodic solution on the cycle's duration; four times this on the speed. */
const CLOSURE = 1e-3;
const MOST_ROUNDS = 30;

/** Displacement of one cylinder, cm3; lengths in mm. */
export function sweptCm3(boreMm: number, strokeMm: number): number {
  return (Math.PI * boreMm * boreMm * strokeMm) / 4000;
}

/** Volume, its derivative by crank angle, and wall area for every step between the valve events, SI units. */
interface Geometry {
  readonly steps: number;
  readonly stepRad: number;
  readonly startRad: number;
  readonly startM3: number;
  readonly middleM3: Float64Array;
  readonly endM3: Float64Array;
  readonly slopeM3: Float64Array;
  readonly wallM2: Float64Array;
}

function geometryOf(m: CylinderModel): Geometry {
  const piston = (Math.PI * m.boreMm ** 2) / 4e6;
  const radius = m.strokeMm / 2000;
  const rod = m.rodMm / 1000;
  const startRad = -Math.PI + (m.intakeClosesDegAbdc * Math.PI) / 180;
  // The ports of a two-stroke open at about the angle at which they close.
  const openDeg = m.cycle === 2 ? m.intakeClosesDegAbdc : EXHAUST_OPENS_DEG_BBDC;
  const endRad = Math.PI - (openDeg * Math.PI) / 180;
  const steps = Math.ceil((endRad - startRad) / STEP_RAD);
  const stepRad = (endRad - startRad) / steps;
  const root = (a: number) => Math.sqrt(rod * rod - (radius * Math.sin(a)) ** 2);
  const swept = (a: number) => piston * (rod + radius * (1 - Math.cos(a)) - root(a));
  const clearance = m.clearanceCm3 * 1e-6;
  const middle = Float64Array.from({ length: steps }, (_, i) => startRad + (i + 0.5) * stepRad);
  return {
    steps,
    stepRad,
    startRad,
    startM3: clearance + swept(startRad),
    middleM3: middle.map((a) => clearance + swept(a)),
    endM3: middle.map((a) => clearance + swept(a + stepRad / 2)),
    slopeM3: middle.map((a) => piston * radius * Math.sin(a) * (1 + (radius * Math.cos(a)) / root(a))),
    wallM2: middle.map((a) => 2 * piston + (Math.PI * m.boreMm * swept(a)) / piston / 1000),
  };
}

/** Solves for the periodic cycle at the given mean speed. */
export function crankCylinder(model: CylinderModel): CrankedCylinder {
  const g = geometryOf(model);
  const pressures = new Float64Array(g.steps);
  const times = new Float64Array(g.steps);
  const cycleRad = model.cycle === 4 ? 4 * Math.PI : 2 * Math.PI;
  const mean = (model.rpm * Math.PI) / 30;
  const period = cycleRad / mean;
  const { driveNmPerRadPerS: drive, inertiaKgM2: inertia } = model.crank;
  let free = 1.2 * mean;
  let start = 1.1 * mean;
  let lost = 0;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const closed = passClosed(model, g, start, free, pressures, times);
    lost = closed.lostShare;
    let speed = closed.speed;
    let time = closed.time;
    const openRad = (cycleRad - g.steps * g.stepRad) / OPEN_STEPS;
    for (let i = 0; i < OPEN_STEPS; i++) {
      const torque = Math.max(-OVERRUN_NM, drive * (free - speed));
      const next = Math.sqrt(
        Math.max(LEAST_RAD_PER_S ** 2, speed * speed + (2 * torque * openRad) / inertia),
      );
      const settled =
        drive * Math.abs(free - speed) > OVERRUN_NM && speed > free ? next : between(speed, next, free);
      time += (2 * openRad) / (speed + settled);
      speed = settled;
    }
    const late = time / period;
    const gain = speed - start;
    if (Math.abs(late - 1) < CLOSURE && Math.abs(gain) < CLOSURE * 4 * mean) break;
    free *= 1 + 0.7 * (late - 1);
    start += 0.8 * gain;
  }
  return { ...topOf(pressures, times, model.ambientKpa * 1000), lostShare: lost };
}

/** `next`, but not beyond `limit` as seen from `from`. */
const between = (from: number, next: number, limit: number): number =>
  from < limit ? Math.min(next, limit) : Math.max(next, limit);

/**
 * Integrates from intake closing to exhaust opening. Writes pressure (Pa) and time (s) at the end of each step into
 * the arrays.
 */
function passClosed(
  m: CylinderModel,
  g: Geometry,
  startSpeed: number,
  free: number,
  pressures: Float64Array,
  times: Float64Array,
): { speed: number; time: number; lostShare: number } {
  const ambient = m.ambientKpa * 1000;
  const hole = m.leakMm2 * 1e-6;
  const { driveNmPerRadPerS: drive, inertiaKgM2: inertia } = m.crank;
  let p = m.chargeKpa * 1000;
  let volume = g.startM3;
  const full = (p * volume) / (GAS_CONSTANT * CHARGE_KELVIN);
  let mass = full;
  let speed = startSpeed;
  let time = 0;
  let top = 0;
  let lostShare = 0;
  for (let i = 0; i < g.steps; i++) {
    const middle = g.middleM3[i]!;
    const end = g.endM3[i]!;
    // Midpoint rule: half a step with the rates at the start, then the whole step with the rates at the middle.
    let halfS = g.stepRad / 2 / speed;
    let pMid = p;
    let mMid = mass;
    let vNow = volume;
    let speedMid = speed;
    for (let pass = 0; pass < 2; pass++) {
      const kelvin = (pMid * vNow) / (mMid * GAS_CONSTANT);
      // cp/cv of air falls from 1.400 at 300 K to 1.376 at 700 K (real-air tables).
      const k = 1.4 - 6e-5 * (kelvin - 300);
      const out = pMid >= ambient;
      const loss = out
        ? (hole * pMid * flow(ambient / pMid)) / Math.sqrt(GAS_CONSTANT * kelvin) / mMid
        : (-hole * ambient * flow(pMid / ambient)) / Math.sqrt(GAS_CONSTANT * CHARGE_KELVIN) / mMid;
      const carried = out ? 1 : CHARGE_KELVIN / kelvin;
      const heat =
        HEAT.wPerM2K *
        Math.exp(HEAT.byPressure * Math.log(pMid / 1e5) + HEAT.byKelvin * Math.log(kelvin / 300));
      const warmed = ((k - 1) * heat * g.wallM2[i]! * (WALL_KELVIN - kelvin)) / (pMid * vNow);
      const rate = warmed - k * carried * loss;
      const torque = (pMid - ambient) * g.slopeM3[i]! + Math.max(-OVERRUN_NM, drive * (free - speedMid));
      if (pass === 0) {
        pMid = p * Math.exp(k * Math.log(volume / middle) + rate * halfS);
        mMid = mass * (1 - loss * halfS);
        vNow = middle;
        speedMid = faster(speed, torque, g.stepRad / 2, inertia);
        halfS = g.stepRad / 2 / speedMid;
      } else {
        p *= Math.exp(k * Math.log(volume / end) + 2 * rate * halfS);
        mass *= Math.exp(-2 * loss * halfS);
        speed = faster(speed, torque, g.stepRad, inertia);
      }
    }
    volume = end;
    time += 2 * halfS;
    pressures[i] = p;
    times[i] = time;
    if (p > top) {
      top = p;
      lostShare = 1 - mass / full;
    }
  }
  return { speed, time, lostShare };
}

/** Flow function with a shortcut: most of a compression is choked. */
const flow = (ratio: number): number => (ratio <= CRITICAL_RATIO ? CHOKED : nozzleFlow(ratio));

const faster = (speed: number, torque: number, rad: number, inertia: number): number =>
  Math.sqrt(Math.max(LEAST_RAD_PER_S ** 2, speed * speed + (2 * torque * rad) / inertia));

function topOf(p: Float64Array, t: Float64Array, ambient: number): { peakKpa: number; halfWidthS: number } {
  let top = 1;
  for (let i = 1; i < p.length - 1; i++) if (p[i]! > p[top]!) top = i;
  const a = p[top - 1]!;
  const b = p[top]!;
  const c = p[Math.min(top + 1, p.length - 1)]!;
  const bend = a - 2 * b + c;
  const peak = bend < 0 ? b - (a - c) ** 2 / (8 * bend) : b;
  const half = ambient + (peak - ambient) / 2;
  const cross = (from: number, step: 1 | -1): number => {
    let i = from;
    while (p[i + step] !== undefined && p[i]! > half) i += step;
    const j = i - step;
    return t[i]! + ((half - p[i]!) / (p[j]! - p[i]!)) * (t[j]! - t[i]!);
  };
  return { peakKpa: (peak - ambient) / 1000, halfWidthS: cross(top, 1) - cross(top, -1) };
}
