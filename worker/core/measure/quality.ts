import { type Notice, notice } from '../notice.ts';
import type { Stroke } from '../reading.ts';
import { lowerBound, median } from '../statistics.ts';
import type { Gap, Hose } from '../trace.ts';
import type { Rest } from './rest.ts';
import type { Samples } from './samples.ts';

/** Largest offset at rest of a zeroed sensor, kPa. Cheap transducers stay within it. */
const REST_LIMIT_KPA = 10;
/** Largest difference between rest and gas exchange, kPa and as a share of final. */
const SHIFT_LIMIT_KPA = 8;
const SHIFT_LIMIT_SHARE = 0.006;

/** Notice when the zero at rest is out of range, or differs before, during and after cranking. */
export function zeroNotice(
  samples: Samples,
  gauge: Float64Array,
  rest: Rest,
  topsS: readonly number[],
  hose: Hose,
  finalKpa: number,
  ambientKpa: number | undefined,
): Notice | undefined {
  if (rest.sensor === 'gauge' && Math.abs(rest.zeroKpa) > REST_LIMIT_KPA) {
    return notice('zero-shifted', 'warning', { shiftKpa: rest.zeroKpa });
  }
  if (
    rest.sensor === 'absolute' &&
    ambientKpa !== undefined &&
    Math.abs(rest.zeroKpa - ambientKpa) > REST_LIMIT_KPA
  ) {
    return notice('zero-shifted', 'warning', { shiftKpa: rest.zeroKpa - ambientKpa });
  }
  const limitKpa = Math.max(SHIFT_LIMIT_KPA, SHIFT_LIMIT_SHARE * finalKpa);
  const shift =
    hose === 'open' ? openShift(samples, gauge, topsS, limitKpa) : heldShift(samples, gauge, finalKpa);
  if (Math.abs(shift) < limitKpa) return undefined;
  return notice('zero-shifted', 'warning', { shiftKpa: shift });
}

/**
 * Worst deviation of the exhaust strokes, which are at ambient, from the zero, kPa. 0 when none reaches `limitKpa`.
 */
function openShift(
  samples: Samples,
  gauge: Float64Array,
  topsS: readonly number[],
  limitKpa: number,
): number {
  let worst = 0;
  for (let i = 1; i < topsS.length; i++) {
    const period = topsS[i]! - topsS[i - 1]!;
    const from = lowerBound(samples.timeS, topsS[i - 1]! + 0.36 * period);
    const to = lowerBound(samples.timeS, topsS[i - 1]! + 0.5 * period);
    if (to - from < 2) continue;
    // When more than half of the samples are within the limit, so is their median. Most strokes need no median.
    const half = (from + to) >> 1;
    let k = from;
    while (k <= half && Math.abs(gauge[k]!) < limitKpa) k++;
    if (k > half) continue;
    const floor = median(gauge.subarray(from, to));
    if (Math.abs(floor) > Math.abs(worst)) worst = floor;
  }
  return worst;
}

/** Largest sudden drop of a held level between flat stretches, kPa: a jump of the sensor, not a leak. */
function heldShift(samples: Samples, gauge: Float64Array, finalKpa: number): number {
  const window = Math.max(3, Math.round(0.04 * samples.rateHz));
  let worst = 0;
  for (let i = 3 * window; i + 3 * window < gauge.length; i++) {
    const near = middle(gauge, i, i + window) - middle(gauge, i - window, i);
    if (near > -SHIFT_LIMIT_KPA || near > worst) continue;
    const flatBefore = Math.abs(middle(gauge, i - window, i) - middle(gauge, i - 3 * window, i - 2 * window));
    const flatAfter = Math.abs(middle(gauge, i + 2 * window, i + 3 * window) - middle(gauge, i, i + window));
    const level = middle(gauge, i + window, i + 2 * window);
    if (level > 0.5 * finalKpa && flatBefore < 0.3 * -near && flatAfter < 0.3 * -near) worst = near;
  }
  return worst;
}

const middle = (v: Float64Array, from: number, to: number) => {
  let sum = 0;
  for (let i = from; i < to; i++) sum += v[i]!;
  return sum / (to - from);
};

/** Ratio to its neighbours above which a stroke fired. */
const FIRED_RATIO = 1.3;

/** Notice when a stroke is far above those before and after it. Build-up rises too, but does not fall again. */
export function firedNotice(strokes: readonly Stroke[], hose: Hose): Notice | undefined {
  const known = strokes.filter((s) => s.peakKpa !== null && !s.partial);
  if (known.length < 3) return undefined;
  for (let i = 1; i < known.length; i++) {
    const peak = known[i]!.peakKpa!;
    const before = known[i - 1]!.peakKpa!;
    const after = known[i + 1]?.peakKpa;
    const isFired =
      hose === 'open' ? isAboveNeighbours(peak, before, after, known, i) : jumps(peak, before, known, i);
    if (isFired) return notice('engine-fired', 'stop', { stroke: known[i]!.number, peakKpa: peak });
  }
  return undefined;
}

/**
 * True when an open-hose peak exceeds the stroke before and the median of the others by `FIRED_RATIO`, and is not
 * part of a build-up.
 */
function isAboveNeighbours(
  peak: number,
  before: number,
  after: number | null | undefined,
  known: readonly Stroke[],
  i: number,
) {
  if (peak < FIRED_RATIO * before) return false;
  const others = median(known.filter((_, k) => k !== i).map((s) => s.peakKpa!));
  if (peak < FIRED_RATIO * others) return false;
  if (after !== undefined && after !== null)
    return peak > FIRED_RATIO * after || others * FIRED_RATIO < after;
  return i >= 2 && before < 1.15 * known[i - 2]!.peakKpa!;
}

/** True when a held level rises by far more than at the step before. */
function jumps(level: number, before: number, known: readonly Stroke[], i: number) {
  if (i < 2) return false;
  const step = level - before;
  const stepBefore = before - known[i - 2]!.peakKpa!;
  return level > 1.25 * before && step > 1.5 * Math.max(stepBefore, 0);
}

/** Steepest change of a cranked cylinder, as a share of the span per millisecond, at 200 as at 400 rpm. */
const STEEPEST_PER_MS = 0.1;
/** Limits of that share between two samples. Samples further apart than `withinMs` may differ by anything. */
const STEEPEST = { least: 0.45, most: 0.8, withinMs: 10.5 };

/** Number of neighbouring samples that differ by more than a cylinder's pressure can change. */
export function impossibleSteps(timeS: Float64Array, gauge: Float64Array): number {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < gauge.length; i++) {
    if (gauge[i]! < low) low = gauge[i]!;
    if (gauge[i]! > high) high = gauge[i]!;
  }
  const { least, most, withinMs } = STEEPEST;
  let count = 0;
  for (let i = 1; i < gauge.length; i++) {
    const step = Math.abs(gauge[i]! - gauge[i - 1]!);
    if (step < least * (high - low)) continue;
    const ms = (timeS[i]! - timeS[i - 1]!) * 1000;
    if (ms > withinMs) continue;
    if (step > Math.min(most, Math.max(least, STEEPEST_PER_MS * ms)) * (high - low)) count++;
  }
  return count;
}

/** Share of the time from `startS` to `endS` that is in gaps. A needle that is not read while it jumps is not missing. */
export function missingShare(gaps: readonly Gap[], startS: number, endS: number): number {
  let lost = 0;
  for (const g of gaps)
    if (g.reason !== 'needle-moving')
      lost += Math.max(0, Math.min(endS, g.endS) - Math.max(startS, g.startS));
  return endS > startS ? lost / (endS - startS) : 0;
}
