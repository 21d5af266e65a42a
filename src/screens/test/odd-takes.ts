/** Takes that do not make sense together. Pure. */
import type { LoadedTest } from '../../capture/bench.ts';

/** Cylinders of a petrol engine that are measured wet only, ascending. */
export const wetWithoutDry = ({ engine, counting }: LoadedTest): number[] =>
  engine.facts.fuel === 'diesel'
    ? []
    : [...counting.wet.keys()].filter((cylinder) => !counting.dry.has(cylinder)).sort((a, b) => a - b);

/** A diesel with a wet reading, as a file of somebody's may hold. */
export const isOiledDiesel = ({ engine, counting }: LoadedTest): boolean =>
  engine.facts.fuel === 'diesel' && counting.wet.size > 0;
