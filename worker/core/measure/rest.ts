import type { ReadingOptions } from '../reading.ts';
import { lowerBound, median, quantile, thinned, trimmedMoments } from '../statistics.ts';
import type { Samples } from './samples.ts';

/** Sensor values while the engine is at rest. */
export interface Rest {
  /** Zero to subtract from every pressure, kPa as reported. */
  readonly zeroKpa: number;
  readonly sensor: 'gauge' | 'absolute' | 'undetermined';
  /** kPa rms. */
  readonly noiseKpa: number;
  /** True when a quiet stretch before cranking was found. */
  readonly seen: boolean;
  /** End of the quiet stretch, seconds. */
  readonly endS: number;
}

/** Lead of the compression before a pulse exceeds the noise, seconds. */
const LEAD_S = 0.12;
/** Least duration of a quiet stretch, seconds. */
const SHORTEST_REST_S = 0.15;
/** Rest level of an absolute sensor: sea level to 3000 m, with its offset, kPa. */
const ABSOLUTE_BAND_KPA = { low: 60, high: 115 };

/** Finds zero, noise and kind of the sensor. `p` holds the pressures as reported, kPa. */
export function findRest(samples: Samples, p: Float64Array, options: ReadingOptions): Rest {
  const { timeS } = samples;
  const n = p.length;
  if (n === 0) {
    return { zeroKpa: 0, sensor: 'undetermined', noiseKpa: 0, seen: false, endS: 0 };
  }
  const startS = timeS[0]!;
  const first = Math.max(3, lowerBound(timeS, startS + 0.25));
  const base = median(p.subarray(0, first));
  const top = quantile(thinned(p), 0.995);
  // Cranking shows as a rise, or as a dip where the engine stopped after top dead centre.
  const limit = Math.max(6 * samples.noiseKpa, 0.015 * (top - base), 2);
  const away = (i: number) => Math.abs(p[Math.min(i, n - 1)]! - base) > limit;
  let rise = 0;
  while (rise < n && !(away(rise) && away(rise + 1))) rise++;
  const quietEnd = rise === n ? n : lowerBound(timeS, timeS[rise]! - LEAD_S);
  const endS = quietEnd > 0 ? timeS[quietEnd - 1]! : startS;
  const seen = quietEnd >= 4 && endS - startS >= SHORTEST_REST_S;
  const quiet = seen ? trimmedMoments(p.subarray(0, quietEnd)) : undefined;
  const noiseKpa = quiet ? Math.max(quiet.sd, samples.roundingKpa) : samples.noiseKpa;
  const steady = quiet !== undefined && isSteady(p.subarray(0, quietEnd), noiseKpa);
  // A drifting rest is no zero. The most frequent level of the trace is used instead.
  const level = steady ? quiet.mean : floorOf(quiet && heldAfter(p, base, top) ? p.subarray(0, quietEnd) : p);
  const sensor =
    level > ABSOLUTE_BAND_KPA.low && level < ABSOLUTE_BAND_KPA.high
      ? 'absolute'
      : Math.abs(level) < ABSOLUTE_BAND_KPA.low
        ? 'gauge'
        : 'undetermined';
  return { zeroKpa: options.zeroKpa ?? level, sensor, noiseKpa, seen, endS };
}

/**
 * Subtracts the zero in place, since a copy of millions of samples costs more than reading them, and corrects the scale by
 * `factor`. Returns the maximum, at least 0, kPa.
 */
export function takeOff(zeroKpa: number, pressureKpa: Float64Array, factor = 1): number {
  let topKpa = 0;
  for (let i = 0; i < pressureKpa.length; i++) {
    const kpa = (pressureKpa[i]! - zeroKpa) * factor;
    pressureKpa[i] = kpa;
    if (kpa > topKpa) topKpa = kpa;
  }
  return topKpa;
}

/** Largest drift of a resting sensor between the quarters of its rest, kPa. */
const WANDER_KPA = 1.5;

function isSteady(p: Float64Array, noiseKpa: number): boolean {
  const quarter = Math.floor(p.length / 4);
  if (quarter < 2) return true;
  const means = [0, 1, 2, 3].map((k) => trimmedMoments(p.subarray(k * quarter, (k + 1) * quarter)).mean);
  const limit = Math.max(WANDER_KPA, (5 * noiseKpa) / Math.sqrt(quarter));
  return Math.max(...means) - Math.min(...means) < limit;
}

/** True when the trace ends high, so that its most frequent level is a held one and not ambient. */
function heldAfter(p: Float64Array, base: number, top: number): boolean {
  return median(p.subarray(Math.floor(0.7 * p.length))) - base > 0.3 * (top - base);
}

/** Differences of pressure closer than this are equal, kPa. */
const ALIKE_KPA = 1e-9;

/**
 * Most frequent level of the trace, without a quiet stretch: the half-sample mode of the lower part. On an open hose
 * that is the gas exchange between pulses, close to ambient.
 */
function floorOf(p: Float64Array): number {
  let a = Float64Array.from(thinned(p, 4000)).sort();
  a = a.subarray(0, Math.max(1, Math.ceil(a.length * 0.7)));
  while (a.length > 3) {
    const half = Math.ceil(a.length / 2);
    const width = (i: number) => a[i + half - 1]! - a[i]!;
    let best = 0;
    // A coarse converter makes many differences equal. The lowest is used, whatever rounding adds.
    for (let i = 1; i + half <= a.length; i++) if (width(i) < width(best) - ALIKE_KPA) best = i;
    a = a.subarray(best, best + half);
  }
  return a[a.length >> 1]!;
}
