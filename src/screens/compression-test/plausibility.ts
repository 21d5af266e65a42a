/** Takes that do not make sense together. Pure. */
import { CRANKING_RANGE_KPA } from '../../../worker/core/cranking-range.ts';
import type { Fuel } from '../../../worker/core/engine.ts';
import type { LoadedTest } from '../../library/library.ts';

/** Cylinders of a petrol engine that are measured wet only, ascending. */
export const wetWithoutDry = ({ engine, counting }: LoadedTest): number[] =>
  engine.facts.fuel === 'diesel'
    ? []
    : [...counting.wet.keys()].filter((cylinder) => !counting.dry.has(cylinder)).sort((a, b) => a - b);

/** Cylinders without any take that counts, ascending: a poor reading was measured all the same. */
export const notMeasuredYet = (loaded: LoadedTest): number[] => {
  const { judgement, counting } = loaded;
  const wetAlone = wetWithoutDry(loaded);
  return judgement.cylinders
    .map(({ cylinder }) => cylinder)
    .filter((cylinder) => !counting.dry.has(cylinder) && !wetAlone.includes(cylinder));
};

/** Figures that can hardly be in the unit which they are said to be in: mostly a file or a sensor in another one. */
export interface UnitDoubt {
  readonly kind: 'tooHigh' | 'tooLow';
  /** Ascending. */
  readonly cylinders: readonly number[];
  readonly limitKpa: number;
}

/**
 * An engine with every cylinder below this, gauge kPa, is hardly to be found: single cylinders fail so far, or all by much
 * less. Common practice, no source.
 */
const HARDLY_ALL_BELOW_KPA: Readonly<Record<Fuel, number>> = { spark: 300, diesel: 700 };

/** `null` where there is none. One high reading is enough; low ones must be all there are, and more than one. */
export function unitDoubt({ engine, counting }: LoadedTest): UnitDoubt | null {
  const { fuel } = engine.facts;
  const finals = [...counting.dry.values(), ...counting.wet.values()].flatMap(({ take, reading }) =>
    reading.finalKpa === null ? [] : [{ cylinder: take.cylinder, kpa: reading.finalKpa }],
  );
  const numbers = (some: typeof finals) =>
    [...new Set(some.map(({ cylinder }) => cylinder))].sort((a, b) => a - b);
  const { high } = CRANKING_RANGE_KPA[fuel];
  const tooHigh = numbers(finals.filter(({ kpa }) => kpa > high));
  if (tooHigh.length > 0) return { kind: 'tooHigh', cylinders: tooHigh, limitKpa: high };
  const low = HARDLY_ALL_BELOW_KPA[fuel];
  const all = numbers(finals);
  if (all.length < 2 || finals.some(({ kpa }) => kpa <= 0 || kpa >= low)) return null;
  return { kind: 'tooLow', cylinders: all, limitKpa: low };
}

/** A diesel with a wet reading, as a file of somebody's may hold. */
export const isOiledDiesel = ({ engine, counting }: LoadedTest): boolean =>
  engine.facts.fuel === 'diesel' && counting.wet.size > 0;
