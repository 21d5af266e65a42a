import { GAS_CONSTANT, holeFlow } from '../gas.ts';

/**
 * Two rings with a volume between them: gas passes the upper ring, fills the crevice and leaves past the lower one. Two
 * orifices and a volume as in Namazian and Heywood, SAE 820088 (1982; recalled); no ring motion.
 */
export interface RingPack {
  /** Volume between the rings, cm3. */
  readonly creviceCm3: number;
  /** Area of the upper ring's gap over the lower one's. */
  readonly upperOverLower: number;
}

/** Flows of one ring pack, kg/s. */
interface RingFlow {
  /** From the cylinder into the crevice. */
  readonly inKgPerS: number;
  /** From the crevice into the crankcase. */
  readonly outKgPerS: number;
}

/** Areas of both gaps over the area of one orifice that leaks as much as the two in series (incompressible flow). */
export function gapShares({ upperOverLower }: RingPack): { readonly upper: number; readonly lower: number } {
  const upper = Math.hypot(1, upperOverLower);
  return { upper, lower: upper / upperOverLower };
}

/** Pressure in the crevice, Pa. Its gas has the temperature of the walls. */
export const crevicePa = (pack: RingPack, kg: number, wallKelvin: number): number =>
  (kg * GAS_CONSTANT * wallKelvin) / (pack.creviceCm3 * 1e-6);

/** Flows at cylinder pressure `pa` and crevice pressure `betweenPa`. `areaM2`: area of the series. */
export function ringFlow(
  pack: RingPack,
  areaM2: number,
  pa: number,
  kelvin: number,
  betweenPa: number,
  wallKelvin: number,
  ambientPa: number,
): RingFlow {
  const { upper, lower } = gapShares(pack);
  return {
    inKgPerS: holeFlow(upper * areaM2, pa, kelvin, betweenPa, wallKelvin),
    outKgPerS: holeFlow(lower * areaM2, betweenPa, wallKelvin, ambientPa, wallKelvin),
  };
}
