import { highest, median } from '../statistics.ts';
import type { Gap } from '../trace.ts';
import type { Samples } from './samples.ts';

/** One pulse of an open-hose trace before its peak is fitted. Seconds, gauge kPa. */
export interface RoughPulse {
  /** Index of the highest sample, and of the first and last above the threshold. */
  readonly top: number;
  readonly from: number;
  readonly to: number;
  readonly timeS: number;
  readonly peakKpa: number;
  /** True when a gap overlaps the pulse. */
  readonly cut: boolean;
}

/**
 * Finds the pulses above the noise. Parts of one compression are joined. `gauge` is kPa less the zero, `topKpa` its
 * maximum.
 */
export function findPulses(
  samples: Samples,
  gauge: Float64Array,
  noiseKpa: number,
  topKpa: number,
): RoughPulse[] {
  const limit = Math.max(6 * noiseKpa, 0.015 * topKpa, 3);
  const parts = excursions(samples, gauge, limit);
  const periodS = roughPeriod(parts, topKpa);
  return dropStray(joinParts(parts, gauge, periodS), periodS, topKpa);
}

function excursions(samples: Samples, gauge: Float64Array, limit: number): RoughPulse[] {
  const found: RoughPulse[] = [];
  const n = gauge.length;
  for (let i = 0; i < n; i++) {
    if (!(gauge[i]! > limit)) continue;
    const from = i;
    let top = i;
    for (; i < n && gauge[i]! > limit / 2; i++) if (gauge[i]! > gauge[top]!) top = i;
    found.push(roughPulse(samples, gauge, from, i - 1, top));
  }
  return found;
}

function roughPulse(
  { timeS, gaps }: Samples,
  gauge: Float64Array,
  from: number,
  to: number,
  top: number,
): RoughPulse {
  const beforeS = timeS[Math.max(from - 1, 0)]!;
  const afterS = timeS[Math.min(to + 1, timeS.length - 1)]!;
  const cut = gaps.some((g) => g.startS <= afterS && g.endS >= beforeS);
  return { top, from, to, timeS: timeS[top]!, peakKpa: gauge[top]!, cut };
}

/** Median interval between the peaks of clear strokes, seconds; NaN with fewer than two. */
function roughPeriod(parts: readonly RoughPulse[], top: number): number {
  const strong = parts.filter((p) => p.peakKpa > 0.3 * top);
  const steps: number[] = [];
  for (let i = 1; i < strong.length; i++) steps.push(strong[i]!.timeS - strong[i - 1]!.timeS);
  if (steps.length === 0) return Number.NaN;
  // Parts of a pulse, divided by a gap or a stalling crank, make short intervals.
  const least = Math.max(0.4 * median(steps), 0.15 * highest(Float64Array.from(steps)));
  const whole = steps.filter((s) => s > least);
  return median(whole);
}

/** Joins parts closer than about half a period: they are one compression. */
function joinParts(parts: readonly RoughPulse[], gauge: Float64Array, periodS: number): RoughPulse[] {
  if (!(periodS > 0)) return [...parts];
  const joined: RoughPulse[] = [];
  for (const part of parts) {
    const previous = joined.at(-1);
    if (!previous || part.timeS - previous.timeS > 0.45 * periodS) {
      joined.push(part);
      continue;
    }
    const top = gauge[part.top]! > gauge[previous.top]! ? part : previous;
    joined[joined.length - 1] = { ...top, from: previous.from, to: part.to, cut: previous.cut || part.cut };
  }
  return joined;
}

/** Drops small pulses far from the time at which a stroke is due. */
function dropStray(pulses: readonly RoughPulse[], periodS: number, top: number): RoughPulse[] {
  if (!(periodS > 0)) return [...pulses];
  return pulses.filter((p, i) => {
    if (p.peakKpa > 0.2 * top) return true;
    const next = pulses[i + 1];
    const previous = pulses[i - 1];
    const near = (a: RoughPulse | undefined) => {
      if (!a) return false;
      const turns = Math.abs(a.timeS - p.timeS) / periodS;
      return turns > 0.6 && turns < 1.8;
    };
    return i === 0 ? near(next) : near(previous);
  });
}

/** True when a known gap covers the time `t`, within `slackS` seconds. */
export function inGap(gaps: readonly Gap[], t: number, slackS: number): boolean {
  return gaps.some((g) => g.startS - slackS <= t && g.endS + slackS >= t);
}
