import { findHeldSteps } from './held-steps.ts';
import { releaseIndex } from './pressure-release.ts';
import type { Rest } from './rest.ts';
import type { Samples } from './samples.ts';
import type { FoundStrokes } from './strokes.ts';

export interface HeldStrokes extends FoundStrokes {
  /** Share of the held level lost a second after the last step, and its standard deviation; `null`: too short to tell. */
  readonly lossPerS: number | null;
  readonly lossPerSSd: number | null;
  readonly tailS: number;
}

/** `gauge` is kPa with the zero off. */
export function readCheckValve(samples: Samples, gauge: Float64Array, rest: Rest): HeldStrokes {
  const end = releaseIndex(gauge, samples.rateHz);
  const holding = { ...samples, timeS: samples.timeS.subarray(0, end) };
  const { steps, tail } = findHeldSteps(holding, gauge.subarray(0, end), rest.noiseKpa);
  const lastKpa = steps.at(-1)?.peakKpa ?? 0;
  const known = tail.lengthS > 0.25 && lastKpa > 0;
  return {
    strokes: steps,
    topsS: steps.filter((s) => s.sharp).map((s) => s.timeS),
    lossPerS: known ? Math.max(0, -tail.slope / lastKpa) : null,
    lossPerSSd: known ? tail.sd / lastKpa : null,
    tailS: tail.lengthS,
  };
}
