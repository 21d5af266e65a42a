/** Dry air with temperature-dependent heat capacity, and its flow through a small hole. SI units. */

/** Gas constant of dry air, J/(kg K). */
export const GAS_CONSTANT = 287.058;

/**
 * cp/R of air as a polynomial in kelvins, within 0.1 % from 300 to 1000 K: Moran & Shapiro, Fundamentals of
 * Engineering Thermodynamics, Table A-21 (recalled). Near 273 K the error is below 0.2 %.
 */
const CP = [3.653, -1.337e-3, 3.294e-6, -1.913e-9, 0.2763e-12] as const;

/** Heat capacity at constant volume, J/(kg K). */
export function heatCapacityV(kelvin: number): number {
  return GAS_CONSTANT * (CP[0] - 1 + kelvin * (CP[1] + kelvin * (CP[2] + kelvin * (CP[3] + kelvin * CP[4]))));
}

/** Internal energy above 0 K from the same polynomial, J/kg. Only differences are meaningful. */
export function internalEnergy(kelvin: number): number {
  return (
    GAS_CONSTANT *
    kelvin *
    (CP[0] - 1 + kelvin * (CP[1] / 2 + kelvin * (CP[2] / 3 + kelvin * (CP[3] / 4 + (kelvin * CP[4]) / 5))))
  );
}

/** Critical pressure ratio, at and below which the flow is choked, for a ratio of heat capacities of 1.4. */
export const CRITICAL_RATIO = (2 / 2.4) ** 3.5;
/** Choked flow over area x pressure / sqrt(R T), for a ratio of heat capacities of 1.4. */
export const CHOKED = Math.sqrt(1.4) * (2 / 2.4) ** 3;
/** Above this ratio a straight line replaces the square-root law: real leaks turn laminar, and the slope stays finite. */
const LAMINAR_RATIO = 0.998;

const squareRootLaw = (ratio: number): number => {
  // With k = 1.4, ratio^(2/k) and ratio^((k+1)/k) are the fifth and sixth power of ratio^(2/7).
  const y = ratio ** (2 / 7);
  const y2 = y * y;
  return Math.sqrt(7 * y2 * y2 * y * (1 - y));
};
const LAMINAR_SLOPE = squareRootLaw(LAMINAR_RATIO) / (1 - LAMINAR_RATIO);

/** Flow over area x upstream pressure / sqrt(R T) for downstream over upstream pressure `ratio`, 0 to 1. */
export function flowFunction(ratio: number): number {
  if (ratio <= CRITICAL_RATIO) return CHOKED;
  return ratio > LAMINAR_RATIO ? LAMINAR_SLOPE * (1 - ratio) : squareRootLaw(ratio);
}

/**
 * Mass flow through a hole of effective area (discharge coefficient included), kg/s; positive from side 1 to side 2.
 * Isentropic nozzle, choked or not: Heywood, Internal Combustion Engine Fundamentals, App. C.
 */
export function holeFlow(areaM2: number, pa1: number, kelvin1: number, pa2: number, kelvin2: number): number {
  return pa1 >= pa2
    ? (areaM2 * pa1 * flowFunction(pa2 / pa1)) / Math.sqrt(GAS_CONSTANT * kelvin1)
    : (-areaM2 * pa2 * flowFunction(pa1 / pa2)) / Math.sqrt(GAS_CONSTANT * kelvin2);
}
