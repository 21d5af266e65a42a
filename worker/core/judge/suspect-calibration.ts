/** Calibration of suspect probabilities: from the model's to the share that turn out true. */

/**
 * ln odds stated = `AT_0` + `SLOPE` x ln odds of the model. The model omits some sources of error, so unlikely
 * suspects are rarer still than it says. From `npm run judgement -- --fit --engines 1200 --seed 1`, by logistic
 * regression; `npm run judgement` reports the calibration on other engines.
 */
const AT_0 = -0.5;
const SLOPE = 1.2;

/** Upper limit of every confidence: the fault has not been seen. */
const MOST_CONFIDENCE = 0.99;

/** Confidence to state for a model probability, both 0 to 1. Monotone; 0 remains 0. */
export function calibrated(modelProbability: number): number {
  const odds = Math.exp(AT_0) * (modelProbability / (1 - Math.min(modelProbability, 1 - 1e-9))) ** SLOPE;
  return Math.min(odds / (1 + odds), MOST_CONFIDENCE);
}

/** Inverse: the model's ln odds for a stated confidence. */
export function modelLnOdds(confidence: number): number {
  return (Math.log(confidence / (1 - confidence)) - AT_0) / SLOPE;
}
