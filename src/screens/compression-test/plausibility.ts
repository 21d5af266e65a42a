/** Checks for takes that do not make sense together. Pure. */
import { CRANKING_RANGE_KPA } from '../../../worker/core/cranking-range.ts';
import type { Fuel } from '../../../worker/core/engine.ts';
import type { LoadedTest } from '../../library/library.ts';

/** Cylinders of a petrol engine with only a wet reading, ascending. Empty for a diesel. */
export const wetWithoutDry = ({ engine, counting }: LoadedTest): number[] =>
  engine.facts.fuel === 'diesel'
    ? []
    : [...counting.wet.keys()].filter((cylinder) => !counting.dry.has(cylinder)).sort((a, b) => a - b);

/** Cylinders without a take that counts, ascending. A poor reading counts as measured. */
export const notMeasuredYet = (loaded: LoadedTest): number[] => {
  const { judgement, counting } = loaded;
  const wetAlone = wetWithoutDry(loaded);
  return judgement.cylinders
    .map(({ cylinder }) => cylinder)
    .filter((cylinder) => !counting.dry.has(cylinder) && !wetAlone.includes(cylinder));
};

/** Figures implausible in their stated unit, usually because a file or sensor uses another one. */
export interface UnitDoubt {
  readonly kind: 'tooHigh' | 'tooLow';
  /** Cylinder numbers, ascending. */
  readonly cylinders: readonly number[];
  readonly limitKpa: number;
}

/**
 * Limit, gauge kPa, below which all cylinders of an engine together are implausible. A single cylinder can fail this
 * far; a wrong unit puts all of them much lower. Common practice, no source.
 */
const HARDLY_ALL_BELOW_KPA: Readonly<Record<Fuel, number>> = { spark: 300, diesel: 700 };

/**
 * `null` when the figures are plausible. One high reading is enough; low ones need at least two, and no other reading.
 */
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

/** Whether a diesel has a wet reading, as an imported file may have. */
export const isOiledDiesel = ({ engine, counting }: LoadedTest): boolean =>
  engine.facts.fuel === 'diesel' && counting.wet.size > 0;
