import type { SimulatedEngine } from './engine.ts';
import { sweptMm3 } from './slider-crank.ts';

/**
 * Starter, battery and friction seen at the crank, SI units.
 *
 * The motor is a permanent-magnet one: torque = stall x (emf - speed / free speed) and cannot hold the engine back (a
 * one-way clutch). `emf` is the battery's electromotive force over that of a charged one; drawing current lowers it by a
 * polarisation voltage that follows the current within `polarisationS`.
 */
export interface Starter {
  readonly stallNm: number;
  readonly freeRadPerS: number;
  readonly emf: number;
  /** Loss of emf when the stall current flows for long. */
  readonly polarisation: number;
  readonly polarisationS: number;
  readonly frictionNm: number;
  readonly frictionNmPerRadPerS: number;
  readonly inertiaKgM2: number;
}

/** Speed below which dry friction is rounded off, rad/s. */
const STICTION_RAD_PER_S = 0.4;

export function frictionNm(starter: Starter, radPerS: number): number {
  return (
    starter.frictionNm * Math.tanh(radPerS / STICTION_RAD_PER_S) + starter.frictionNmPerRadPerS * radPerS
  );
}

export function driveNm(starter: Starter, radPerS: number, polarisation: number): number {
  return Math.max(0, starter.stallNm * (starter.emf - polarisation - radPerS / starter.freeRadPerS));
}

/** Current over the stall current of a charged battery. */
export function currentShare(starter: Starter, radPerS: number, polarisation: number): number {
  return Math.max(0, starter.emf - polarisation - radPerS / starter.freeRadPerS);
}

/**
 * A starter that turns the engine at `drive.crankingRpm`, plugs out of the other cylinders. Friction of a warm engine is
 * taken as 12 Nm a litre and inertia as 0.1 kg m2 a litre (common practice, no source).
 */
export function starterFor(engine: SimulatedEngine): Starter {
  const sweptL = sweptMm3(engine.boreMm, engine.strokeMm) * 1e-6;
  const litres = sweptL * engine.cylinders.size;
  const dryNm = 3 + 10 * litres;
  const target = (engine.drive.crankingRpm * Math.PI) / 30;
  const viscous = (2 * litres) / target;
  // The motor has to turn the engine over its compression: about 200 Nm a litre at a ratio of 10.
  const overTopNm = 20 * sweptL * engine.compressionRatio;
  const stallNm = 4 * (dryNm + 2 * litres) + 1.6 * overTopNm;
  // Compression gives most of its work back; what it keeps weighs on the motor like a small friction.
  const meanNm = dryNm + 2 * litres + 0.05 * overTopNm;
  const share = meanNm / stallNm;
  const freeRadPerS = target / (1 - share);
  // Polarisation p at current share s: speed falls by p x free speed. Choose it for the asked sag in ten seconds.
  const polarisationS = 6;
  const built = 1 - Math.exp(-10 / polarisationS);
  const polarisation = (engine.drive.sagPer10S * (1 - share)) / (share * built);
  return {
    stallNm,
    freeRadPerS,
    emf: share + (1 - share) * engine.drive.batteryStrength,
    polarisation,
    polarisationS,
    frictionNm: dryNm,
    frictionNmPerRadPerS: viscous,
    inertiaKgM2: 0.02 + 0.1 * litres,
  };
}
