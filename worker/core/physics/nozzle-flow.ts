/** Steady flow of air through an isentropic nozzle, ratio of heat capacities 1.4 (Heywood 1988, App. C). */

/** Downstream over upstream pressure at and below which the flow is choked. */
export const CRITICAL_RATIO = (2 / 2.4) ** 3.5;

/**
 * Flow function: mass flow x sqrt(R T) / (area x upstream pressure). `ratio` is downstream over upstream pressure,
 * both absolute, 0 to 1. 0.6847 when choked, 0 at equal pressures.
 */
export function nozzleFlow(ratio: number): number {
  const held = Math.min(1, Math.max(CRITICAL_RATIO, ratio));
  return Math.sqrt(7 * (held ** (2 / 1.4) - held ** (2.4 / 1.4)));
}
