import { type Notice, notice } from '../notice.ts';
import type { Stroke } from '../reading.ts';
import { lowerBound, median } from '../statistics.ts';
import type { Gap, Hose } from '../trace.ts';
import type { Rest } from './rest.ts';
import type { Samples } from './samples.ts';

/** A sensor that rests further from ambient than this was not zeroed, kPa; cheap transducers stay within it. */
const REST_LIMIT_KPA = 10;
/** Rest and gas exchange must agree this well, kPa and as a share of final. */
const SHIFT_LIMIT_KPA = 8;
const SHIFT_LIMIT_SHARE = 0.006;

/** Zero at rest out of bounds, or not the same before, during and after cranking. */
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

/** Exhaust strokes are at ambient: how far their levels stray from the zero at worst; 0 when none strays by `limitKpa`. */
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
    // more than half of the samples within bounds: so is their median, and most strokes need none
    const half = (from + to) >> 1;
    let k = from;
    while (k <= half && Math.abs(gauge[k]!) < limitKpa) k++;
    if (k > half) continue;
    const floor = median(gauge.subarray(from, to));
    if (Math.abs(floor) > Math.abs(worst)) worst = floor;
  }
  return worst;
}

/** A held level that drops at once between flat stretches has not leaked: the sensor jumped. */
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

/** A stroke this many times its neighbours burnt something. */
const FIRED_RATIO = 1.3;

/** A stroke far above those before and after it. Build-up climbs too, but does not come down again. */
export function firedNotice(strokes: readonly Stroke[], hose: Hose): Notice | undefined {
  const known = strokes.filter((s) => s.peakKpa !== null && !s.partial);
  if (known.length < 3) return undefined;
  for (let i = 1; i < known.length; i++) {
    const peak = known[i]!.peakKpa!;
    const before = known[i - 1]!.peakKpa!;
    const after = known[i + 1]?.peakKpa;
    const stands = hose === 'open' ? standsOut(peak, before, after, known, i) : jumps(peak, before, known, i);
    if (stands) return notice('engine-fired', 'stop', { stroke: known[i]!.number, peakKpa: peak });
  }
  return undefined;
}

function standsOut(
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

/** A held level that steps up by far more than the step before it. */
function jumps(level: number, before: number, known: readonly Stroke[], i: number) {
  if (i < 2) return false;
  const step = level - before;
  const stepBefore = before - known[i - 2]!.peakKpa!;
  return level > 1.25 * before && step > 1.5 * Math.max(stepBefore, 0);
}

/** No cranked cylinder changes by more than this share of the whole span in a millisecond, at 400 rpm as little as at 200. */
const STEEPEST_PER_MS = 0.1;
/** Bounds of that share from one sample to the next; further apart than this they may differ by anything. */
const STEEPEST = { least: 0.45, most: 0.8, withinMs: 10.5 };

/** How often neighbouring samples differ by more than a cylinder's pressure can change between them. */
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

/** Share of the time between first and last top that lies in gaps. */
export function missingShare(gaps: readonly Gap[], startS: number, endS: number): number {
  let lost = 0;
  for (const g of gaps) lost += Math.max(0, Math.min(endS, g.endS) - Math.max(startS, g.startS));
  return endS > startS ? lost / (endS - startS) : 0;
}
