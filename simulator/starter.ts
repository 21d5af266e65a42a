import type { SimulatedEngine } from './engine.ts';
import { sweptMm3 } from './slider-crank.ts';

/**
 * Starter, battery and friction, referred to the crank, in SI units.
 *
 * The motor has permanent magnets: torque = stall x (emf - speed / free speed). A one-way clutch prevents it from braking
 * the engine. `emf` is the battery's electromotive force relative to a charged one. Current lowers it by a polarisation
 * voltage that follows the current with the time constant `polarisationS`.
 */
export interface Starter {
  readonly stallNm: number;
  readonly freeRadPerS: number;
  readonly emf: number;
  /** Loss of emf after a long time at stall current. */
  readonly polarisation: number;
  readonly polarisationS: number;
  readonly frictionNm: number;
  readonly frictionNmPerRadPerS: number;
  readonly inertiaKgM2: number;
}

/** Speed below which dry friction decreases smoothly to zero, rad/s. */
const STICTION_RAD_PER_S = 0.4;

/** Friction torque, with the sign of the speed. */
export function frictionNm(starter: Starter, radPerS: number): number {
  return (
    starter.frictionNm * Math.tanh(radPerS / STICTION_RAD_PER_S) + starter.frictionNmPerRadPerS * radPerS
  );
}

/** Torque of the engaged starter, 0 or more. `polarisation`: as a share of the charged emf. */
export function driveNm(starter: Starter, radPerS: number, polarisation: number): number {
  return Math.max(0, starter.stallNm * (starter.emf - polarisation - radPerS / starter.freeRadPerS));
}

/** Current relative to the stall current of a charged battery. */
export function currentShare(starter: Starter, radPerS: number, polarisation: number): number {
  return Math.max(0, starter.emf - polarisation - radPerS / starter.freeRadPerS);
}

/**
 * Dimensions a starter that cranks the engine at `drive.crankingRpm` with the other cylinders' plugs out. Assumes 12 Nm
 * friction and 0.1 kg m2 inertia per litre for a warm engine (common practice, no source).
 */
export function starterFor(engine: SimulatedEngine): Starter {
  const sweptL = sweptMm3(engine.boreMm, engine.strokeMm) * 1e-6;
  const litres = sweptL * engine.cylinders.size;
  const { stallShare = 1, inertiaShare = 1, frictionShare = 1 } = engine.drive;
  const dryNm = (3 + 10 * litres) * frictionShare;
  const target = (engine.drive.crankingRpm * Math.PI) / 30;
  const viscous = (2 * litres) / target;
  // Torque to pass the top of compression: about 200 Nm a litre at a ratio of 10.
  const overTopNm = 20 * sweptL * engine.compressionRatio;
  const stallNm = (4 * (dryNm + 2 * litres) + 1.6 * overTopNm) * stallShare;
  // Expansion returns most of the compression work; the loss acts like a small friction.
  const meanNm = dryNm + 2 * litres + 0.05 * overTopNm;
  const share = meanNm / stallNm;
  const freeRadPerS = target / (1 - share);
  // Polarisation p at current share s lowers the speed by p x free speed. Chosen to give the sag in ten seconds.
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
    inertiaKgM2: (0.02 + 0.1 * litres) * inertiaShare,
  };
}
