/**
 * How far a fault moves what we see: the numbers behind the suspects.
 *
 * Where they come from: `npm run judgement -- --fit --engines 1200 --seed 1` prints means, lines and deviations over engines of the
 * project's simulator, with mixed faults, severities, rigs and noise. They are rounded, and widened where a cranking model
 * written apart from the simulator differs from it (oil raises a leaking valve's cylinder by 6 to 9 % in one, 2 to 4 % in the
 * other). `npm run judgement` reports on engines that were not fitted to.
 *
 * All levels are natural logarithms, so 0.1 is about 10 %. `drop` is how far a cylinder's level lies below what it would be
 * without the fault.
 */

/** Faults of single cylinders or of pairs of neighbours. */
export type CylinderFault = 'ring-wear' | 'valve-leak' | 'head-gasket' | 'carbon';

/**
 * How often each fault is there before anything is measured, against a sound engine at 1. The author's own judgement:
 * nobody has published how often engines that get tested have which fault.
 */
export const PRIOR_ODDS = {
  'ring-wear': 0.25,
  'valve-leak': 0.25,
  'head-gasket': 0.2,
  carbon: 0.15,
  'all-low': 0.1,
} as const;

/**
 * Levels of sound cylinders of one engine about their common level: Student t, with tails for the odd one out. The scale is for
 * `rpm` and grows as cranking slows, because small leaks then have longer to differ.
 */
export const SOUND_SPREAD = { scale: 0.025, freedom: 7, rpm: 240, slowest: 80, fastest: 320 } as const;

/** Added to the scale of a cylinder cranked at another speed than the others, per unit of ln(speed). */
export const SD_PER_LN_SPEED = 0.3;
/** Added when some cylinders were measured with an open hose and some with a check valve. */
export const MIXED_HOSE_SD = 0.06;

/** Two cylinders leaking through one gasket are low alike: standard deviation of the difference. */
export const GASKET_ALIKE_SD = 0.06;

/** Gamma densities of how far a fault moves the level. */
export const DROP = { shape: 1.8, scale: 0.36, most: 2.2 } as const;
export const RISE = { shape: 5, scale: 0.034, most: 0.5 } as const;
/** All low: how far the whole engine lies below what it should read. */
export const ALL_LOW = { shape: 3, scale: 0.09, most: 1.2 } as const;

/** A value is t-distributed about `at0 + perDrop * drop` with scale `sd0 + sdPerDrop * drop`. */
export interface Line {
  readonly at0: number;
  readonly perDrop: number;
  readonly sd0: number;
  readonly sdPerDrop: number;
}

type LeakOrSound = 'sound' | 'ring' | 'leak';

/**
 * Lag (see signature.ts) against the other cylinders' median: that takes out what the hose needs to fill and what the
 * engine does as a whole. The longer the hose takes, the less sure: `LAG_SD_PER_HOSE_LAG` of it is added to the scale.
 */
export const LAG: Readonly<Record<LeakOrSound, Line>> = {
  sound: { at0: 0, perDrop: 0, sd0: 0.008, sdPerDrop: 0 },
  ring: { at0: 0.03, perDrop: 0.45, sd0: 0.02, sdPerDrop: 0.22 },
  leak: { at0: -0.004, perDrop: 0, sd0: 0.008, sdPerDrop: 0.006 },
};
export const LAG_SD_PER_HOSE_LAG = 0.35;
/** Lag of a sound cylinder on an open hose, for an engine of one. */
export const USUAL_OPEN_LAG = 0.004;

/**
 * Wet rise: oil seals most of what passes worn rings, and a little of what passes sound ones; what lies on the piston
 * takes up room besides.
 */
export const WET_RISE: Readonly<Record<LeakOrSound, Line>> = {
  sound: { at0: 0.05, perDrop: 0, sd0: 0.03, sdPerDrop: 0 },
  ring: { at0: 0.02, perDrop: 0.84, sd0: 0.04, sdPerDrop: 0.08 },
  leak: { at0: 0.05, perDrop: 0.01, sd0: 0.03, sdPerDrop: 0.01 },
};

/** Degrees of freedom of lag and wet rise: heavier tails than a normal, so that one odd stroke does not decide. */
export const FEATURE_FREEDOM = 5;
