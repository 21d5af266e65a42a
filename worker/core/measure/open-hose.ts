import { median } from '../statistics.ts';
import { findPulses, inGap, type RoughPulse } from './pulse-find.ts';
import { fitPulses } from './pulse-fit.ts';
import type { FittedPulse } from './pulse-refine.ts';
import { mendCutPulses } from './pulse-template.ts';
import type { Rest } from './rest.ts';
import { jitterOf, type Samples } from './samples.ts';
import type { FoundStroke, FoundStrokes } from './strokes.ts';
import { isUnfinished } from './unfinished.ts';
import { exhaustKpa, withDoubt } from './zero-doubt.ts';

/** Standard deviation of a peak, as a share of its height, above which it counts as lost. */
const LOST_SHARE = 0.06;

/**
 * Finds the strokes of an open-hose trace. `gauge` is kPa less the zero, `topKpa` its maximum, `ambientKpa` the
 * barometer, `turns` the crank turns between strokes.
 */
export function readOpenHose(
  samples: Samples,
  gauge: Float64Array,
  rest: Rest,
  topKpa: number,
  ambientKpa: number,
  turns: 1 | 2,
): FoundStrokes {
  const rough = withoutTail(findPulses(samples, gauge, rest.noiseKpa, topKpa));
  const cranked = samples.timeS.subarray(rough[0]?.from ?? 0, rough.at(-1)?.to);
  const jitterS = jitterOf(cranked, 1 / samples.rateHz);
  const measured = { samples, gauge, noiseKpa: rest.noiseKpa, ambientKpa, jitterS };
  const fitted = mendCutPulses(measured, fitPulses(measured, rough, turns));
  const unfinished = isUnfinished(samples, gauge, rest.noiseKpa, rough, fitted);
  const counted = unfinished ? fitted.slice(0, -1) : fitted;
  const last = fitted.at(-1);
  const movedKpa = exhaustKpa(
    samples,
    gauge,
    counted.map((p) => p.timeS),
  );
  const strokes = withLost(
    counted.map((p) => toStroke(p, samples, movedKpa)),
    samples,
  );
  // The crank (almost) passed the top once more, so that turn counts for the cranking speed.
  const almost = unfinished && last && counted.length > 0 && last.peakKpa > 0.8 * counted.at(-1)!.peakKpa;
  return { strokes, topsS: [...strokes.map((s) => s.timeS), ...(almost ? [last.timeS] : [])] };
}

/** Share of the usual peak below which a last pulse is not a stroke. */
const NO_STROKE = 0.5;
/** The same where a gap may hide the peak and leave only a flank. */
const FLANK = 0.15;

/** Removes low pulses at the end, from a piston that stops part-way up while the pressure leaks away. */
function withoutTail(pulses: readonly RoughPulse[]): RoughPulse[] {
  let n = pulses.length;
  while (n > 1) {
    const last = pulses[n - 1]!;
    const usual = median(pulses.slice(Math.max(0, n - 4), n - 1).map((p) => p.peakKpa));
    if (last.peakKpa > (last.cut ? FLANK : NO_STROKE) * usual) break;
    n--;
  }
  return pulses.slice(0, n);
}

function toStroke(pulse: FittedPulse, samples: Samples, movedKpa: number): FoundStroke {
  const { timeS, peakKpa, peakSdKpa, ownSdKpa } = pulse;
  const unsure = !(peakSdKpa < LOST_SHARE * peakKpa + 3);
  return unsure && inGap(samples.gaps, timeS, 0.5 * pulse.widthS)
    ? lostAt(timeS)
    : { timeS, peakKpa, peakSdKpa: withDoubt(peakSdKpa, movedKpa), ownSdKpa };
}

const lostAt = (timeS: number): FoundStroke => ({ timeS, peakKpa: null, peakSdKpa: null, ownSdKpa: null });

/** Adds strokes that fell into a gap as a whole, by the rhythm. They count, without a peak. */
function withLost(strokes: readonly FoundStroke[], samples: Samples): FoundStroke[] {
  if (strokes.length < 3 || samples.gaps.length === 0) return [...strokes];
  const steps = strokes.slice(1).map((s, i) => s.timeS - strokes[i]!.timeS);
  const period = median(steps);
  const out: FoundStroke[] = [];
  strokes.forEach((stroke, i) => {
    out.push(stroke);
    const next = strokes[i + 1];
    if (!next) return;
    const beats = Math.round((next.timeS - stroke.timeS) / period);
    for (let k = 1; k < beats; k++) {
      const timeS = stroke.timeS + ((next.timeS - stroke.timeS) * k) / beats;
      if (inGap(samples.gaps, timeS, 0.08 * period)) out.push(lostAt(timeS));
    }
  });
  return out;
}
