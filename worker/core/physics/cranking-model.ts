import type { Cycle } from '../trace.ts';
import { CRITICAL_RATIO, nozzleFlow } from './nozzle-flow.ts';

/**
 * One working cycle of a cranked cylinder, as simple as it can be and still keep mass, energy and momentum: dry air in one
 * zone, heat to the walls, a leak that is a hole to the air, and a crank that slows against the
 * compression and is driven on by the starter. Fast enough to be solved for the hole. Equations: README.md.
 */
export interface CylinderModel {
  readonly boreMm: number;
  readonly strokeMm: number;
  readonly rodMm: number;
  /** Space left at top dead centre, with what the adapter adds and oil takes away. */
  readonly clearanceCm3: number;
  readonly intakeClosesDegAbdc: number;
  readonly cycle: Cycle;
  /** Pressure in the cylinder when the intake closes, and of the air outside, absolute kPa. */
  readonly chargeKpa: number;
  readonly ambientKpa: number;
  /** Effective area of the leak: the discharge coefficient is included. */
  readonly leakMm2: number;
  /** Mean speed over the cycle, turns a minute. */
  readonly rpm: number;
  readonly crank: CrankDrive;
}

/** What turns the crank, seen at the crank. The starter's torque falls in proportion to speed, friction taken off. */
export interface CrankDrive {
  readonly inertiaKgM2: number;
  /** Torque gained for each rad/s that the crank is slower than the starter would turn it free. */
  readonly driveNmPerRadPerS: number;
}

export interface CrankedCylinder {
  /** Highest pressure, gauge kPa. */
  readonly peakKpa: number;
  /** How long the pressure is above half the highest, s. */
  readonly halfWidthS: number;
  /** Share of the charge gone by the leak at the highest pressure, 0 to 1. */
  readonly lostShare: number;
}

/** Of dry air, J/(kg K). */
const GAS_CONSTANT = 287.058;
const CHOKED = nozzleFlow(CRITICAL_RATIO);

/** Charge and walls of a warm engine that was not running a moment ago, K. */
const CHARGE_KELVIN = 305;
const WALL_KELVIN = 340;
/** The exhaust opens so long before bottom dead centre; matters only to the crank's speed. */
const EXHAUST_OPENS_DEG_BBDC = 50;
/**
 * Heat transfer at 1 bar and 300 K, W/(m2 K), and how it grows with pressure and temperature: Woschni's powers (Heywood 1988,
 * eq. 12.38, recalled), the speed left out. The figure makes sound cylinders of known ratio read as they do; part of it
 * stands for crevices and hoses, which take gas out of the compression and give it back.
 */
const HEAT = { wPerM2K: 75, byPressure: 0.8, byKelvin: -0.55 } as const;

/** What friction takes when the crank overruns the starter's one-way clutch, Nm. */
const OVERRUN_NM = 25;
const LEAST_RAD_PER_S = 1;

/** Crank angle of one step. Halving it moves peak and width by less than 0.2 %. */
const STEP_RAD = Math.PI / 60;
const OPEN_STEPS = 8;
/** The cycle must end as it began, and last as long as measured, within this share. */
const CLOSURE = 1e-3;
const MOST_ROUNDS = 30;

/** Displacement of one cylinder, cm3. */
export function sweptCm3(boreMm: number, strokeMm: number): number {
  return (Math.PI * boreMm * boreMm * strokeMm) / 4000;
}

/** Volume, its slope by crank angle and the wall area at the middle and the end of every step between the valve events, SI. */
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
  // The ports of a two-stroke open about where they close.
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

/** Cranks the cylinder until cycle follows cycle at the given mean speed. */
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

/** `next`, but not past `limit` when coming from `from`. */
const between = (from: number, next: number, limit: number): number =>
  from < limit ? Math.min(next, limit) : Math.max(next, limit);

/** From intake closing to exhaust opening; writes pressure and time at the end of every step. */
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
    // Middle of the step by the state at its start, then the whole step by the middle.
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

/** Most of a compression is choked, which spares the powers. */
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
