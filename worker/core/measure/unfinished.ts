import { lowerBound, median } from '../statistics.ts';
import type { RoughPulse } from './pulse-find.ts';
import type { FittedPulse } from './pulse-refine.ts';
import type { Samples } from './samples.ts';

/**
 * True when the last pulse of an open-hose trace is not a whole stroke: the starter stopped, and the piston came to
 * rest before the exhaust valve opened, part-way up or just over the top. A whole stroke falls as fast as those
 * before it. It returns at once from a dip below ambient when the exhaust valve opens. A stopped one approaches
 * ambient slowly, from above or below.
 */
export function isUnfinished(
  samples: Samples,
  gauge: Float64Array,
  noiseKpa: number,
  rough: readonly RoughPulse[],
  fitted: readonly FittedPulse[],
): boolean {
  const n = fitted.length;
  if (n < 2) return false;
  const fall = (i: number) => fallOf(samples, gauge, noiseKpa, rough[i]!, fitted[i]!, fitted[i + 1]);
  const last = fall(n - 1);
  const earliest = Math.max(n > 3 ? 1 : 0, n - 5);
  const before = Array.from({ length: n - 1 - earliest }, (_, k) => fall(earliest + k));
  const stepS = 1 / samples.rateHz;
  const usualFall = median(before.map((f) => f.fallS).filter(Number.isFinite));
  const slack = stepS / usualFall;
  const slower = last.fallS / usualFall - 1;
  if (Number.isNaN(last.fallS) || slower > FAR_SLOWER + slack) return true;
  // Each sign alone may be weak, so they are summed.
  const lower = Math.max(0, 0.95 - fitted[n - 1]!.peakKpa / usualPeak(fitted)) / LOWER;
  const usualDip = median(before.map((f) => f.dipKpa));
  const usualReturn = median(before.map((f) => f.returnS).filter(Number.isFinite));
  const isInformative =
    stepS < 0.011 && usualDip > Math.max(5 * noiseKpa, 5) && usualReturn >= 0 && !last.cut;
  if (!isInformative) return Math.max(0, slower - slack) / SLOWER + lower > 1;
  if (Number.isNaN(last.returnS)) return true;
  // A dip of few samples is measured unevenly. A difference within the spread of the others is no difference.
  const uneven = usualDip - Math.min(...before.map((f) => f.dipKpa));
  const shallower = Math.max(0, 0.95 - (last.dipKpa + uneven) / usualDip) / SHALLOWER;
  const later = Math.max(0, Math.max(0, last.returnS - 1.5 * stepS) / (usualReturn + stepS) - 1) / LATER;
  // A return at once shows that the exhaust valve was open. A fall may then be slow for other reasons.
  const slow = Math.max(0, slower) / (later === 0 ? 3 * SLOWER : SLOWER);
  return slow + shallower + later + lower > 1;
}

/**
 * Limits for the last stroke's deviation from those before it: shares of the fall, the peak, the dip and the return.
 */
const FAR_SLOWER = 0.6;
const SLOWER = 0.12;
const LOWER = 0.1;
const SHALLOWER = 0.35;
const LATER = 4;

/** Median peak of up to three strokes before the last, gauge kPa. */
const usualPeak = (fitted: readonly FittedPulse[]) => median(fitted.slice(-4, -1).map((p) => p.peakKpa));

/** Fall of one pulse after its peak. */
interface Fall {
  /** From half of the peak to a twentieth of it, seconds; NaN when it was not reached. */
  readonly fallS: number;
  /** Depth below ambient after it, kPa. */
  readonly dipKpa: number;
  /** From three quarters of the dip back to a quarter, seconds; NaN when it did not return. */
  readonly returnS: number;
  /** True when a gap hides part of it. */
  readonly cut: boolean;
}

function fallOf(
  s: Samples,
  gauge: Float64Array,
  noiseKpa: number,
  rough: RoughPulse,
  pulse: FittedPulse,
  next: FittedPulse | undefined,
): Fall {
  const { timeS } = s;
  const endS = next ? pulse.timeS + 0.6 * (next.timeS - pulse.timeS) : Number.POSITIVE_INFINITY;
  const end = lowerBound(timeS, endS);
  const halfS = crossing(timeS, gauge, rough.top, end, 0.5 * pulse.peakKpa);
  const footS = crossing(timeS, gauge, rough.top, end, Math.max(0.05 * pulse.peakKpa, 3 * noiseKpa));
  if (Number.isNaN(footS)) return { fallS: Number.NaN, dipKpa: 0, returnS: Number.NaN, cut: false };
  const i = lowerBound(timeS, footS);
  const smooth = (k: number) =>
    (gauge[Math.max(k - 1, 0)]! + gauge[k]! + gauge[Math.min(k + 1, gauge.length - 1)]!) / 3;
  let bottom = i;
  for (let k = i; k < end; k++) if (smooth(k) < smooth(bottom)) bottom = k;
  const dipKpa = Math.max(0, -smooth(bottom));
  let deep = bottom;
  let back = bottom;
  while (back < end && smooth(back) < -0.25 * dipKpa) {
    if (smooth(back) < -0.75 * dipKpa) deep = back;
    back++;
  }
  const returnS = back < end ? timeS[back]! - timeS[deep]! : Number.NaN;
  const untilS = timeS[Math.min(back + 2, timeS.length - 1)]!;
  const cut = s.gaps.some((g) => g.startS < untilS && g.endS > pulse.timeS);
  return { fallS: footS - halfS, dipKpa, returnS, cut };
}

/** Time at which the trace first falls below `level` after sample `from`; NaN when it does not before `end`. */
function crossing(
  timeS: Float64Array,
  gauge: Float64Array,
  from: number,
  end: number,
  level: number,
): number {
  let i = from;
  while (i < end && gauge[i]! > level) i++;
  if (i >= end) return Number.NaN;
  if (i === from) return timeS[i]!;
  const share = (gauge[i - 1]! - level) / (gauge[i - 1]! - gauge[i]!);
  return timeS[i - 1]! + share * (timeS[i]! - timeS[i - 1]!);
}
