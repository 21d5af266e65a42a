import type { RoughPulse } from './pulse-find.ts';
import type { FittedPulse } from './pulse-fit.ts';
import type { Samples } from './samples.ts';
import { lowerBound, median } from './statistics.ts';

/**
 * Whether the last rise of an open-hose trace was no whole stroke: the starter let go and the piston stopped, part-way
 * up or just over the top, before the exhaust valve opened. A whole stroke falls as fast as those before it, and
 * where it dips below ambient it comes back at once when the exhaust valve opens. A stopped one leaks towards ambient slowly,
 * from above or from below.
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
  const traces = fitted.map((pulse, i) => fallOf(samples, gauge, noiseKpa, rough[i]!, pulse, fitted[i + 1]));
  const last = traces[n - 1]!;
  const before = traces.slice(Math.max(n > 3 ? 1 : 0, n - 5), n - 1);
  const stepS = 1 / samples.rateHz;
  const usualFall = median(before.map((f) => f.fallS).filter(Number.isFinite));
  const fell = last.fallS / usualFall;
  if (Number.isNaN(last.fallS) || fell > 1.6 + stepS / usualFall) return true;
  const usualDip = median(before.map((f) => f.dipKpa));
  if (!(usualDip > Math.max(5 * noiseKpa, 5))) return fell > 1.25 + stepS / usualFall;
  const usualReturn = median(before.map((f) => f.returnS).filter(Number.isFinite));
  if (!(usualReturn >= 0)) return fell > 1.25 + stepS / usualFall;
  if (last.dipKpa < 0.35 * usualDip) return true;
  return !(last.returnS < 2.2 * usualReturn + 0.012 + 1.5 * stepS);
}

interface Fall {
  /** From the top to a twentieth of it, seconds; NaN when it never got there. */
  readonly fallS: number;
  /** How far below ambient it went after, kPa. */
  readonly dipKpa: number;
  /** From three quarters of the dip back to a quarter, seconds; NaN when it never came back. */
  readonly returnS: number;
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
  const low = Math.max(0.05 * pulse.peakKpa, 3 * noiseKpa);
  let i = rough.top;
  while (i < end && gauge[i]! > low) i++;
  if (i >= end) return { fallS: Number.NaN, dipKpa: 0, returnS: Number.NaN };
  const share = (gauge[i - 1]! - low) / (gauge[i - 1]! - gauge[i]!);
  const crossS = timeS[i - 1]! + (Number.isFinite(share) ? share : 1) * (timeS[i]! - timeS[i - 1]!);
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
  return {
    fallS: crossS - pulse.timeS,
    dipKpa,
    returnS: back < end ? timeS[back]! - timeS[deep]! : Number.NaN,
  };
}
