/** Steady flow of air through a small hole: isentropic nozzle, ratio of heat capacities 1.4 (Heywood 1988, App. C). */

/** Downstream over upstream pressure at and below which the flow no longer grows. */
export const CRITICAL_RATIO = (2 / 2.4) ** 3.5;

/**
 * Mass flow over area x upstream pressure / sqrt(R T), for `ratio` downstream over upstream pressure, both absolute, 0 to 1.
 * 0.6847 where the flow is choked, 0 at equal pressures.
 */
export function nozzleFlow(ratio: number): number {
  const held = Math.min(1, Math.max(CRITICAL_RATIO, ratio));
  return Math.sqrt(7 * (held ** (2 / 1.4) - held ** (2.4 / 1.4)));
}
