import type { Hose } from '../worker/core/trace.ts';

/**
 * The gauge hose between plug hole and sensor. Volumes in cubic centimetres. With an open hose, adapter and hose are one
 * space with the cylinder. With a check valve at the plug end only the adapter is, and the hose fills through the valve.
 */
export interface Rig {
  readonly hose: Hose;
  /** Volume between plug hole and check valve; it lowers the compression ratio. */
  readonly adapterCm3: number;
  /** Volume between check valve and sensor; it lowers the compression ratio only when the hose is open. */
  readonly hoseCm3: number;
  /** Effective area of the fully open check valve, mm2. */
  readonly checkMm2: number;
  /** Pressure difference that lifts the check valve off its seat, kPa, and the additional one that opens it fully. */
  readonly checkOpensKpa: number;
  readonly checkFullKpa: number;
  /** Leak of the hose to the air, effective, mm2. */
  readonly hoseLeakMm2: number;
  /** Leak back through the closed check valve, effective, mm2. */
  readonly checkBackMm2: number;
}

/** A sound hose with a check valve at the plug end. */
export const CHECK_VALVE_RIG: Rig = {
  hose: 'check-valve',
  adapterCm3: 2,
  hoseCm3: 7,
  checkMm2: 5,
  checkOpensKpa: 6,
  checkFullKpa: 15,
  hoseLeakMm2: 0,
  checkBackMm2: 0,
};

/** A short stiff hose with the sensor at its end. */
export const OPEN_RIG: Rig = { ...CHECK_VALVE_RIG, hose: 'open', hoseCm3: 3 };

/** A sound rig of this kind. */
export function rigFor(hose: Hose): Rig {
  return hose === 'open' ? OPEN_RIG : CHECK_VALVE_RIG;
}

/** Time constant of the pressure after the hose's release is pressed, seconds. */
const RELEASE_TIME_CONSTANT_S = 0.08;

/** Absolute pressure, Pa, `sinceS` seconds after the release of `heldPa` was pressed. */
export const releasedPressurePa = (heldPa: number, ambientPa: number, sinceS: number): number =>
  ambientPa + (heldPa - ambientPa) * Math.exp(-Math.max(0, sinceS) / RELEASE_TIME_CONSTANT_S);
