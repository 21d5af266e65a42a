import { crossing } from '../measure/pulse-figures.ts';
import type { Reading } from '../reading.ts';
import { lowerBound, median } from '../statistics.ts';
import type { Trace } from '../trace.ts';

/** Least number of samples in a half width. With fewer, linear interpolation is too coarse. */
const LEAST_SAMPLES = 4;

/**
 * Time for which an open-hose pulse exceeds half its height, s: the median of the full strokes from the second on.
 * Shows how much the crank slows against the compression. `null` for a check-valve hose, or with too few samples.
 */
export function halfWidthS(trace: Trace, reading: Reading): number | null {
  if (reading.hose !== 'open' || reading.zeroKpa === null) return null;
  const { timeS, pressureKpa } = trace;
  const zero = reading.zeroKpa;
  const widths: number[] = [];
  for (const stroke of reading.strokes) {
    if (stroke.number < 2 || stroke.partial || stroke.peakKpa === null) continue;
    const half = zero + stroke.peakKpa / 2;
    const top = Math.min(timeS.length - 1, lowerBound(timeS, stroke.timeS));
    const cross = (step: 1 | -1): number => crossing(timeS, pressureKpa, half, top, step);
    const width = cross(1) - cross(-1);
    if (width > 0 && width * (reading.sampleRateHz ?? 0) >= LEAST_SAMPLES) widths.push(width);
  }
  return widths.length < 2 ? null : median(widths);
}
