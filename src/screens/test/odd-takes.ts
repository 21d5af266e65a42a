/** Takes that do not make sense together. Pure. */
import { CRANKING_RANGE_KPA } from '../../../worker/core/cranking-range.ts';
import type { LoadedTest } from '../../capture/bench.ts';

/** Cylinders of a petrol engine that are measured wet only, ascending. */
export const wetWithoutDry = ({ engine, counting }: LoadedTest): number[] =>
  engine.facts.fuel === 'diesel'
    ? []
    : [...counting.wet.keys()].filter((cylinder) => !counting.dry.has(cylinder)).sort((a, b) => a - b);

/** Cylinders that read more than such an engine can crank to, ascending: mostly a file or a sensor in another unit. */
export function tooHigh({ engine, counting }: LoadedTest): number[] {
  const { high } = CRANKING_RANGE_KPA[engine.facts.fuel];
  const takes = [...counting.dry.values(), ...counting.wet.values()];
  const cylinders = takes
    .filter(({ reading }) => (reading.finalKpa ?? 0) > high)
    .map(({ take }) => take.cylinder);
  return [...new Set(cylinders)].sort((a, b) => a - b);
}

/** A diesel with a wet reading, as a file of somebody's may hold. */
export const isOiledDiesel = ({ engine, counting }: LoadedTest): boolean =>
  engine.facts.fuel === 'diesel' && counting.wet.size > 0;
