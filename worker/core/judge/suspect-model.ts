/**
 * Constants of the suspects: effect of each fault on the measurements.
 *
 * Source: `npm run judgement -- --fit --engines 1200 --seed 1` prints means, lines and deviations over engines of the
 * project's simulator, with mixed faults, severities, rigs and noise. They are rounded, and widened where an
 * independent cranking model differs (oil raises a leaking valve's cylinder by 6 to 9 % in one, 2 to 4 % in the
 * other). `npm run judgement` reports on engines that were not used for the fit.
 *
 * All levels are natural logarithms, so 0.1 is about 10 %. `drop` is how far a cylinder's level is below its level
 * without the fault.
 */

/**
 * Prior odds of the whole engine reading low, against a sound engine. The author's own judgement: as often as a leaking gasket. A low
 * one would hide engines that are a sixth low behind the spread of the books.
 */
export const ALL_LOW_PRIOR_ODDS = 0.2;
/** How it is divided among the explanations. The author's own judgement. */
export const EXPLANATION_SHARE = {
  'slow-cranking': 0.3,
  'throttle-shut': 0.25,
  'late-timing': 0.25,
  'worn-rings': 0.12,
  unseen: 0.08,
} as const;
/** Prior odds that thin air or the hose lowers a sound engine, and by how much at most (natural logarithm). */
export const ONLY_READS_LOW = {
  'thin-air': { odds: 0.05, most: 0.17 },
  'open-hose': { odds: 0.04, most: 0.3 },
  'check-valve': { odds: 0.01, most: 0.3 },
} as const;

/**
 * Levels of sound cylinders of one engine about their common level: Student t, whose tails allow for outliers. The
 * scale applies at `rpm` and grows as cranking slows, because small leaks then have more time to differ.
 */
export const SOUND_SPREAD = { scale: 0.025, freedom: 7, rpm: 240, slowest: 80, fastest: 320 } as const;

/** Standard deviation added for a cylinder cranked at another speed than the others, per unit of ln(speed). */
export const SD_PER_LN_SPEED = 0.3;
/** Standard deviation added when some cylinders were measured with an open hose and some with a check valve. */
export const MIXED_HOSE_SD = 0.06;

/** Standard deviation of the difference between two cylinders that leak through one gasket. */
export const GASKET_ALIKE_SD = 0.06;

/** Gamma density of the drop by a leak. */
export const DROP = { shape: 1.8, scale: 0.36, most: 2.2 } as const;
/** Gamma density of the rise by carbon. */
export const RISE = { shape: 5, scale: 0.034, most: 0.5 } as const;
/** Gamma density of the shortfall of the whole engine. */
export const ALL_LOW = { shape: 3, scale: 0.09, most: 1.2 } as const;

/** A feature is t-distributed about `at0 + perDrop * drop` with scale `sd0 + sdPerDrop * drop`. */
export interface Line {
  readonly at0: number;
  readonly perDrop: number;
  readonly sd0: number;
  readonly sdPerDrop: number;
}

type LeakOrSound = 'sound' | 'ring' | 'leak';

/**
 * Lag (see signature.ts) relative to the other cylinders' median, which removes filling of the hose and behaviour of
 * the whole engine. The scale grows with the hose's own lag, by `LAG_SD_PER_HOSE_LAG` of it.
 */
export const LAG: Readonly<Record<LeakOrSound, Line>> = {
  sound: { at0: 0, perDrop: 0, sd0: 0.008, sdPerDrop: 0 },
  ring: { at0: 0.03, perDrop: 0.45, sd0: 0.02, sdPerDrop: 0.22 },
  leak: { at0: -0.004, perDrop: 0, sd0: 0.008, sdPerDrop: 0.006 },
};
/** See `LAG`. */
export const LAG_SD_PER_HOSE_LAG = 0.35;
/**
 * Lag of a sound cylinder on an open hose, for an engine of one, and its standard deviation: 0 to 0.035 over the models of the
 * simulator's family, most with the ports of a two-stroke and with an oil film that builds slowly.
 */
export const USUAL_OPEN_LAG = 0.008;
export const USUAL_OPEN_LAG_SD = 0.015;
/** Largest lag of sound cylinders on an open hose: 2 in 100 of the family are above. */
export const MOST_OPEN_LAG = 0.07;

/**
 * Wet rise. Oil seals most of the leak past worn rings and a little of that past sound ones. Oil on the piston also
 * reduces the clearance.
 */
export const WET_RISE: Readonly<Record<LeakOrSound, Line>> = {
  sound: { at0: 0.05, perDrop: 0, sd0: 0.03, sdPerDrop: 0 },
  ring: { at0: 0.02, perDrop: 0.84, sd0: 0.04, sdPerDrop: 0.08 },
  leak: { at0: 0.05, perDrop: 0.01, sd0: 0.03, sdPerDrop: 0.01 },
};

/** Degrees of freedom of lag and wet rise: heavier tails than normal, so that one odd stroke is not decisive. */
export const FEATURE_FREEDOM = 5;
