import { flowFunction, GAS_CONSTANT } from '../gas.ts';

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

/** Above this ratio of pressures the flow through a gap, which is narrow and long, is laminar: a straight line. */
const LAMINAR_RATIO = 0.95;

/** Mass flow through a gap, kg/s; positive from side 1 to side 2. */
function gapFlow(areaM2: number, pa1: number, kelvin1: number, pa2: number, kelvin2: number): number {
  if (pa1 < pa2) return -gapFlow(areaM2, pa2, kelvin2, pa1, kelvin1);
  const ratio = pa2 / pa1;
  const straight = Math.min(1, (1 - ratio) / (1 - LAMINAR_RATIO));
  return (
    (areaM2 * pa1 * straight * flowFunction(Math.min(ratio, LAMINAR_RATIO))) /
    Math.sqrt(GAS_CONSTANT * kelvin1)
  );
}

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
    inKgPerS: gapFlow(upper * areaM2, pa, kelvin, betweenPa, wallKelvin),
    outKgPerS: gapFlow(lower * areaM2, betweenPa, wallKelvin, ambientPa, wallKelvin),
  };
}
