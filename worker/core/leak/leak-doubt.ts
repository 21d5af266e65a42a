/**
 * The estimate's doubt in its own model: heat, ring pack, starter, closing and sensor of an engine are never those of the model.
 * It widens the statistical interval by a factor, because models differ most where the peak says least about the leak. Fitted to the
 * simulator's family of models (`npm run leak -- --models`, which also prints the fit without each model).
 */

/** What is known of one cylinder's estimate. */
export interface Known {
  /** Probability that the cylinder is sound, 0 to 1. */
  readonly soundChance: number;
  /** The width of the pulse shows the speed at the top: an open hose. */
  readonly hasWidth: boolean;
  /** The engine card states the intake closing. */
  readonly hasClosing: boolean;
}

/** Squared factors on the half width in ln area, or in the ln ratio to the best cylinder. */
export interface Doubt {
  /** Of a sound cylinder, whose size is mostly the prior's. */
  readonly sound: number;
  /** Of a leaking cylinder with pulse width and closing. */
  readonly leaking: number;
  /** Added for a leaking cylinder without pulse width, and without closing. */
  readonly noWidth: number;
  readonly noClosing: number;
}

/** Doubt in the area, and in the ratio of two areas. The errors common to an engine cancel in the ratio. */
export const AREA_DOUBT: Doubt = { sound: 1.2, leaking: 1.14, noWidth: 0.25, noClosing: 0.38 };
export const RATIO_DOUBT: Doubt = { sound: 0.51, leaking: 1.1, noWidth: 0.23, noClosing: 0.08 };

/** Factor on the statistical half width. */
export function doubtFactor(doubt: Doubt, { soundChance, hasWidth, hasClosing }: Known): number {
  const leaking = doubt.leaking + (hasWidth ? 0 : doubt.noWidth) + (hasClosing ? 0 : doubt.noClosing);
  return Math.sqrt(soundChance * doubt.sound + (1 - soundChance) * leaking);
}
