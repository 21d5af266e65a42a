import { findHeldSteps } from './held-steps.ts';
import { letOffIndex } from './let-off.ts';
import type { Rest } from './rest.ts';
import type { Samples } from './samples.ts';
import type { FoundStroke, FoundStrokes } from './strokes.ts';

export interface HeldStrokes extends FoundStrokes {
  /** Share of the held level lost a second after the last step, and its standard deviation; `null`: too short to tell. */
  readonly lossPerS: number | null;
  readonly lossPerSSd: number | null;
  readonly tailS: number;
}

/** `gauge` is kPa with the zero off. */
export function readCheckValve(samples: Samples, gauge: Float64Array, rest: Rest): HeldStrokes {
  const end = letOffIndex(gauge, samples.rateHz);
  const holding = { ...samples, timeS: samples.timeS.subarray(0, end) };
  const held = findHeldSteps(holding, gauge.subarray(0, end), rest.noiseKpa);
  const strokes: FoundStroke[] = held.steps.map((s) => ({
    timeS: s.endS,
    peakKpa: s.levelKpa,
    peakSdKpa: s.levelSdKpa,
    ownSdKpa: s.levelSdKpa,
  }));
  const lastKpa = held.steps.at(-1)?.levelKpa ?? 0;
  const known = held.tailLengthS > 0.25 && lastKpa > 0;
  return {
    strokes,
    topsS: held.steps.filter((s) => s.sharp).map((s) => s.endS),
    lossPerS: known ? Math.max(0, -held.tailSlopeKpaPerS / lastKpa) : null,
    lossPerSSd: known ? held.tailSlopeSd / lastKpa : null,
    tailS: held.tailLengthS,
  };
}
