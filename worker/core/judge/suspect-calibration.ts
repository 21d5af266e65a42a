/** Calibration of suspect probabilities: from the model's to the share that turn out true. */

/**
 * ln odds stated = `at0` + `slope` x ln odds of the model, by logistic regression over the simulator's family of models, all-low
 * left out because of its cap. `npm run judgement -- --models` fits the slope without each model in turn: 1.23 to 1.32. The intercept
 * is held at 0, because above it the suspects of one cylinder could sum to more than one.
 */
export const CALIBRATION = { at0: 0, slope: 1.25 } as const;

/** Upper limit of every confidence: the fault has not been seen. */
export const MOST_CONFIDENCE = 0.99;

/** Confidence to state for a model probability, both 0 to 1. Monotone; 0 remains 0. */
export function calibrated(modelProbability: number): number {
  const odds =
    Math.exp(CALIBRATION.at0) *
    (modelProbability / (1 - Math.min(modelProbability, 1 - 1e-9))) ** CALIBRATION.slope;
  return Math.min(odds / (1 + odds), MOST_CONFIDENCE);
}

/** Inverse: the model's ln odds for a stated confidence. */
export function modelLnOdds(confidence: number): number {
  return (Math.log(confidence / (1 - confidence)) - CALIBRATION.at0) / CALIBRATION.slope;
}
