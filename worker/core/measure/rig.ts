import { thinned } from '../statistics.ts';
import type { Hose } from '../trace.ts';

/**
 * Detects the hose. With a check valve the trace stays high once it has risen; with an open hose it returns to
 * ambient after each stroke. `leaning` is the more probable one where `hose` is undetermined. `share` is the part of
 * the samples above 30 % of the highest, from the first such to the last.
 */
export function detectHose(
  timeS: Float64Array,
  gauge: Float64Array,
  topKpa: number,
): { hose: Hose | 'undetermined'; leaning: Hose; share: number } {
  const limit = 0.3 * topKpa;
  let first = 0;
  while (first < gauge.length && gauge[first]! < limit) first++;
  let last = gauge.length - 1;
  while (last > first && gauge[last]! < limit) last--;
  const cranked = thinned(gauge.subarray(first, last + 1));
  let above = 0;
  for (const kpa of cranked) if (kpa >= limit) above++;
  const share = above / Math.max(1, cranked.length);
  const lasts = timeS[last]! - timeS[first]!;
  const leaning: Hose = share > 0.65 && lasts > 0.3 ? 'check-valve' : 'open';
  const clear = share > 0.8 ? lasts > 0.5 || lasts < 0.25 : share < 0.5;
  return { hose: clear ? leaning : 'undetermined', leaning, share };
}
