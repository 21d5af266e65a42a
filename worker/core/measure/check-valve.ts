import { findHeldSteps, type HeldStep } from './held-steps.ts';
import { releaseIndex } from './pressure-release.ts';
import type { Rest } from './rest.ts';
import type { Samples } from './samples.ts';
import type { FoundStrokes } from './strokes.ts';
import { withDoubt } from './zero-doubt.ts';

/** Strokes and hold of a check-valve trace. */
export interface HeldStrokes extends FoundStrokes {
  readonly strokes: readonly HeldStep[];
  /**
   * Share of the held level lost per second after the last step, and its standard deviation; `null` when the hold is
   * too short.
   */
  readonly lossPerS: number | null;
  readonly lossPerSSd: number | null;
  /** Duration of the hold after the last step, seconds. */
  readonly tailS: number;
}

/**
 * Fastest movement of a sensor's zero, kPa/s (own estimate). A slope of the held level up to it may be the zero's, so the
 * levels are uncertain by as much since the rest. A leak has the same effect on the slope.
 */
const MOST_DRIFT_KPA_PER_S = 2;

/** Finds the strokes of a check-valve trace. `gauge` is kPa less the zero. */
export function readCheckValve(samples: Samples, gauge: Float64Array, rest: Rest): HeldStrokes {
  const end = releaseIndex(gauge, samples.rateHz);
  const holding = { ...samples, timeS: samples.timeS.subarray(0, end) };
  const { steps, tail } = findHeldSteps(holding, gauge.subarray(0, end), rest.noiseKpa);
  const lastKpa = steps.at(-1)?.peakKpa ?? 0;
  const known = tail.lengthS > 0.25 && lastKpa > 0;
  const driftKpaPerS = known ? Math.min(MOST_DRIFT_KPA_PER_S, Math.abs(tail.slope)) : 0;
  return {
    strokes: steps.map((step) => ({
      ...step,
      peakSdKpa: withDoubt(step.peakSdKpa!, driftKpaPerS * Math.max(0, step.timeS - rest.endS)),
    })),
    topsS: steps.filter((s) => s.sharp).map((s) => s.timeS),
    lossPerS: known ? Math.max(0, -tail.slope / lastKpa) : null,
    lossPerSSd: known ? tail.sd / lastKpa : null,
    tailS: tail.lengthS,
  };
}
