import type { Fuel } from './engine.ts';

/** What a cranking engine can make at all, gauge kPa: a maker's figure, and any sound reading, lies within. Common practice, no source. */
export const CRANKING_RANGE_KPA: Readonly<Record<Fuel, { readonly low: number; readonly high: number }>> = {
  spark: { low: 50, high: 2500 },
  diesel: { low: 50, high: 7000 },
};

/** A good battery turns a warm engine with all plugs out at least so fast (common practice, no source), rpm. */
export const USUAL_RPM = 165;
