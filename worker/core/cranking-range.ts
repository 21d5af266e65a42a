import type { Fuel } from './engine.ts';

/**
 * Range of plausible cranking pressures, gauge kPa. The manual's figures and every sound reading lie within it.
 * Common practice, no source.
 */
export const CRANKING_RANGE_KPA: Readonly<Record<Fuel, { readonly low: number; readonly high: number }>> = {
  spark: { low: 50, high: 2500 },
  diesel: { low: 50, high: 7000 },
};

/** Least speed at which a good battery turns a warm engine with all plugs out, rpm (common practice, no source). */
export const USUAL_RPM = 165;
