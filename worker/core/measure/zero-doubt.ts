import { lowerBound, mean } from '../statistics.ts';
import type { Samples } from './samples.ts';

/** Strokes at the end of a trace whose gas exchange is compared with the zero. */
const MOST_STROKES = 12;

/** Standard deviation of a pressure when its zero may also be off by `offKpa`, taken as the half width at 95 %. */
export const withDoubt = (sdKpa: number, offKpa: number): number => Math.hypot(sdKpa, offKpa / 2);

/**
 * Mean pressure of an open hose in the exhaust strokes, kPa: the movement of the zero since the rest, apart from a slight
 * back pressure. `gauge` is kPa less the zero; `topsS` the times of the peaks. 0 without a whole period.
 */
export function exhaustKpa({ timeS }: Samples, gauge: Float64Array, topsS: readonly number[]): number {
  const floors: number[] = [];
  for (let i = Math.max(1, topsS.length - MOST_STROKES); i < topsS.length; i++) {
    const periodS = topsS[i]! - topsS[i - 1]!;
    const from = lowerBound(timeS, topsS[i - 1]! + 0.36 * periodS);
    const to = lowerBound(timeS, topsS[i - 1]! + 0.5 * periodS);
    if (to - from >= 2) floors.push(mean(gauge.subarray(from, to)));
  }
  return floors.length === 0 ? 0 : mean(floors);
}
