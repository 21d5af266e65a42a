/** From the probability that the model reckons to how often such a suspect turns out true. */

/**
 * ln odds = `at0` + `slope` x the reckoned ln odds. The model knows fewer ways to be misled than there are, so what it holds for
 * unsure is rarer still. From `npm run judgement -- --fit --engines 1200 --seed 1`, by logistic regression; how well it holds
 * on other engines is what `npm run judgement` prints and draws.
 */
const AT_0 = -0.5;
const SLOPE = 1.2;

/** Nobody is surer than this of a fault they have not seen. */
const MOST_CONFIDENCE = 0.99;

/** Confidence to state, for a reckoned probability of 0 to 1. Keeps the order, and 0 at 0. */
export function calibrated(reckoned: number): number {
  const odds = Math.exp(AT_0) * (reckoned / (1 - Math.min(reckoned, 1 - 1e-9))) ** SLOPE;
  return Math.min(odds / (1 + odds), MOST_CONFIDENCE);
}

/** The reckoned ln odds behind a stated confidence. */
export function reckonedLnOdds(confidence: number): number {
  return (Math.log(confidence / (1 - confidence)) - AT_0) / SLOPE;
}
