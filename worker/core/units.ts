/** Pressure units. Conversion happens at the edges; all internal values are kilopascals. */

/** Units that files and sensors use. */
export type PressureUnit = 'psi' | 'kPa' | 'bar' | 'kgf/cm2' | 'Pa' | 'MPa';

/**
 * Kilopascals per unit. psi from 0.45359237 kg x 9.80665 m/s2 / (0.0254 m)^2 and kgf from 9.80665 m/s2, both exact by
 * definition (international yard and pound agreement 1959; CGPM 1901).
 */
const KPA_PER: Readonly<Record<PressureUnit, number>> = {
  psi: (0.45359237 * 9.80665) / 0.0254 ** 2 / 1000,
  kPa: 1,
  bar: 100,
  'kgf/cm2': 98.0665,
  Pa: 0.001,
  MPa: 1000,
};

/**
 * Standard atmosphere, kPa: pressure at sea level in the US Standard Atmosphere 1976, exact by definition (CGPM
 * 1954).
 */
export const SEA_LEVEL_KPA = 101.325;

/** Units selectable on a screen, in the order of the switch. */
export const DISPLAY_UNITS = ['psi', 'kPa', 'bar', 'kgf/cm2'] as const satisfies readonly PressureUnit[];
/** A unit selectable on a screen. */
export type DisplayUnit = (typeof DISPLAY_UNITS)[number];

/** Decimal places that a cranking compression is worth in each unit. */
const DIGITS: Readonly<Record<DisplayUnit, number>> = { psi: 0, kPa: 0, bar: 2, 'kgf/cm2': 2 };

/** Converts `value` in `unit` to kPa. */
export function toKpa(value: number, unit: PressureUnit): number {
  return value * KPA_PER[unit];
}

/** Converts kPa to `unit`. */
export function fromKpa(kpa: number, unit: PressureUnit): number {
  return kpa / KPA_PER[unit];
}

/** Decimal places for a figure in `unit`; one more for small ones such as a plus-minus. */
export function digitsFor(unit: DisplayUnit, small = false): number {
  return DIGITS[unit] + (small ? 1 : 0);
}
