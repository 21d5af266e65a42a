/** Whether a pressure is that of a sensor at rest, and whether it has changed since the analysis began. */
import type { LiveReading, Stroke } from '../../worker/core/reading.ts';
import type { Waiting, Zeroing } from './capture-state.ts';
import { RELEASED_KPA } from './machine-limits.ts';

/**
 * Maximum difference between the pressure at the start of the analysis and the zero, kPa. Above it the pressure was
 * falling.
 */
const STEADY_KPA = 5;

/** A sensor at rest reads near 0 (gauge), or up to 115 kPa (absolute). Above that the hose holds pressure. */
const REST_BAND_KPA = { low: -60, high: 115 };

/** Whether `zeroKpa` is a rest pressure, given the previous zero of this connection (`null`: none). Both kPa as reported. */
export const isRest = (zeroKpa: number, beforeKpa: number | null): boolean =>
  beforeKpa === null
    ? zeroKpa > REST_BAND_KPA.low && zeroKpa < REST_BAND_KPA.high
    : Math.abs(zeroKpa - beforeKpa) < RELEASED_KPA;

/** Whether the pressure at the start of the analysis was about `reportedKpa` (kPa as reported). True when it is unknown. */
export const beganAt = (state: Zeroing, reportedKpa: number): boolean =>
  state.fromKpa === null || Math.abs(state.fromKpa - reportedKpa) < STEADY_KPA;

/**
 * First stroke whose peak is above the pressure at the start of the analysis; `undefined` while there is none. A pressure
 * release looks like the end of a stroke, so a fall alone does not count.
 */
export function firstRise(state: Waiting | Zeroing, live: LiveReading): Stroke | undefined {
  if (live.phase === 'rest') return undefined;
  const beganKpa = Math.max(0, (state.fromKpa ?? 0) - (live.zeroKpa ?? 0));
  return live.strokes.find(({ peakKpa }) => peakKpa === null || peakKpa > beganKpa + STEADY_KPA);
}

/** Newest pressure, kPa as reported; `null` before a zero is known. */
export const reportedKpa = (live: LiveReading): number | null =>
  live.pressureKpa === null || live.zeroKpa === null ? null : live.pressureKpa + live.zeroKpa;
