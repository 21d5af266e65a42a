/**
 * Probability of every fault by Bayes' rule.
 *
 * The unknown that couples the cylinders is the level that a sound one of this engine would read now. On a grid of
 * that level each cylinder is evaluated alone (sound, or one fault with its size integrated out), and neighbours also
 * as a pair behind one gasket. The grid is then summed with the prior of the level. Two faults in one engine are
 * therefore possible; two in one cylinder are not.
 */

import { type CylinderFault, isPairFault, type SingleFault } from './faults.ts';
import type { Signature } from './signature.ts';
import type { LevelPrior } from './suspect-level.ts';
import { gasketOdds, singleOdds, soundDensity, sumOf, tableOf } from './suspect-likelihood.ts';

/** Posterior probabilities of one engine. */
export interface Weighing {
  /** Probability that all of these cylinders have this fault (for a gasket: the pair). */
  probability(fault: CylinderFault, cylinders: readonly number[]): number;
  /** Probability that the whole engine reads lower than it should. */
  readonly allLow: number;
  /** Probability of each explanation of a low level, in the order of `EXPLANATIONS`. */
  readonly explanations: readonly number[];
  /** Probability that this cylinder has no fault. */
  sound(cylinder: number): number;
  /** Posterior mean of the level of a sound cylinder of this engine, ln kPa. */
  readonly lnCommon: number;
}

/** Step of the grid, ln kPa. */
const STEP = 0.0125;

/** The engine at one common level. */
interface Slice {
  readonly lnCommon: number;
  readonly weight: number;
  readonly allLow: number;
  readonly by: readonly number[];
  readonly singles: readonly Record<SingleFault, number>[];
  /** Odds of each pair against both being free of it, and their sum. */
  readonly pairs: readonly number[];
  readonly pairSum: number;
}

/** Evaluates all faults. `neighbours` without a signature are ignored. `signatures` must not be empty. */
export function weighFaults(
  signatures: readonly Signature[],
  neighbours: readonly (readonly [number, number])[],
  prior: LevelPrior,
): Weighing {
  const tables = signatures.map((one) => tableOf(one, signatures));
  const indexOf = new Map(signatures.map((one, i) => [one.cylinder, i]));
  const pairs = neighbours.flatMap(([a, b]) =>
    indexOf.has(a) && indexOf.has(b) ? [[indexOf.get(a)!, indexOf.get(b)!] as const] : [],
  );
  const lowest = Math.min(...signatures.map((one) => one.lnLevel)) - 0.15;
  const highest = Math.max(prior.lnHighest, ...signatures.map((one) => one.lnLevel)) + 0.15;

  const slices: (Slice & { lnWeight: number })[] = [];
  for (let lnCommon = lowest; lnCommon <= highest; lnCommon += STEP) {
    const singles = tables.map((table) => singleOdds(table, lnCommon, 1 / tables.length));
    const free = singles.map((odds) => 1 / (1 + sumOf(odds)));
    const pairOdds = pairs.map(
      ([a, b]) => gasketOdds(tables[a]!, tables[b]!, lnCommon, 1 / pairs.length) * free[a]! * free[b]!,
    );
    const pairSum = pairOdds.reduce((a, b) => a + b, 0);
    const { normal, allLow, by } = prior.density(lnCommon);
    const lnSound = tables.reduce((sum, table) => sum + Math.log(soundDensity(table, lnCommon)), 0);
    const lnSingles = free.reduce((sum, share) => sum - Math.log(share), 0);
    slices.push({
      lnCommon,
      lnWeight: lnSound + lnSingles + Math.log1p(pairSum) + Math.log(normal + allLow),
      weight: 0,
      allLow: allLow / (normal + allLow),
      by: by.map((one) => one / (normal + allLow)),
      singles,
      pairs: pairOdds,
      pairSum,
    });
  }
  return fromSlices(normalised(slices), pairs, indexOf);
}

function normalised(slices: readonly (Slice & { lnWeight: number })[]): Slice[] {
  const top = Math.max(...slices.map((slice) => slice.lnWeight));
  const raw = slices.map((slice) => Math.exp(slice.lnWeight - top));
  const total = raw.reduce((a, b) => a + b, 0);
  return slices.map((slice, i) => ({ ...slice, weight: raw[i]! / total }));
}

function fromSlices(
  slices: readonly Slice[],
  pairs: readonly (readonly [number, number])[],
  indexOf: ReadonlyMap<number, number>,
): Weighing {
  const mean = (of: (slice: Slice) => number): number =>
    slices.reduce((sum, slice) => sum + slice.weight * of(slice), 0);

  /** Share of the slice in which no pair that includes any of `indices` leaks. */
  const noPairOn = (slice: Slice, indices: readonly number[]): number => {
    const touching = pairs.reduce(
      (sum, [a, b], k) => (indices.includes(a) || indices.includes(b) ? sum + slice.pairs[k]! : sum),
      0,
    );
    return (1 + slice.pairSum - touching) / (1 + slice.pairSum);
  };

  return {
    probability(fault, cylinders) {
      const indices = cylinders.map((cylinder) => indexOf.get(cylinder)!);
      if (isPairFault(fault)) {
        const k = pairs.findIndex(([a, b]) => indices.includes(a) && indices.includes(b));
        return k < 0 ? 0 : mean((slice) => slice.pairs[k]! / (1 + slice.pairSum));
      }
      return mean(
        (slice) =>
          noPairOn(slice, indices) *
          indices.reduce((product, i) => {
            const odds = slice.singles[i]!;
            return (product * odds[fault]) / (1 + sumOf(odds));
          }, 1),
      );
    },
    sound(cylinder) {
      const i = indexOf.get(cylinder)!;
      return mean((slice) => noPairOn(slice, [i]) / (1 + sumOf(slice.singles[i]!)));
    },
    allLow: mean((slice) => slice.allLow),
    explanations: slices[0]!.by.map((_, i) => mean((slice) => slice.by[i]!)),
    lnCommon: mean((slice) => slice.lnCommon),
  };
}
