/** Prior of the level that a sound cylinder of this engine reads, from manual, geometry and air. */
import type { EngineFacts } from '../engine.ts';
import {
  type Cranked,
  expectedCranking,
  LEVEL_95,
  LEVEL_FREEDOM,
  lnClosingEffect,
  lnSpeedEffect,
} from '../physics/expected.ts';
import { SEA_LEVEL_KPA } from '../units.ts';
import { type EngineSigns, type Explanation, signOdds } from './engine-signs.ts';
import { sizeGrid, studentT } from './suspect-likelihood.ts';
import { ALL_LOW, ALL_LOW_PRIOR_ODDS, EXPLANATION_SHARE, ONLY_READS_LOW } from './suspect-model.ts';

/** Prior of the common level. */
export interface LevelPrior {
  /** Highest level to consider, ln kPa. */
  readonly lnHighest: number;
  /**
   * Joint density of the level of sound cylinders (ln kPa) and the state of the engine: normal, or all low. Not
   * normalised. `by`: the density of each explanation in the order of `EXPLANATIONS`; only those of `EXPLANATION_SHARE` are part of
   * `allLow`.
   */
  density(lnLevel: number): {
    readonly normal: number;
    readonly allLow: number;
    readonly by: readonly number[];
  };
  /** False when neither manual nor geometry is known and only the general prior is left. */
  readonly informed: boolean;
}

/** Centre and scale of a Student t density of ln kPa. */
interface Statement {
  readonly mean: number;
  readonly scale: number;
}

/**
 * Offset of sound engines from the manual's minimum and maximum (natural logarithms). A maker's minimum is 0.67 to 0.88 of its
 * standard, median 0.756 (58 pairs of published service data); engines in use read a little below the standard. The maximum:
 * one model's own printed range is 6 to 22 % either way, median 11 %.
 */
const ABOVE_MANUAL_MIN: Statement = { mean: 0.21, scale: 0.09 };
const BELOW_MANUAL_MAX: Statement = { mean: 0.14, scale: 0.08 };

/** Width of the transition at the manual's minimum, natural logarithm: gauges differ by 2 to 3 %. */
const MINIMUM_WIDTH = 0.02;

/** Keeps the logarithm of an impossible level finite. */
const LEAST_DENSITY = 1e-9;

const SHORTFALLS = sizeGrid(ALL_LOW);

/**
 * General prior by kind of engine, kPa, with its standard deviation (natural logarithm). Common practice, no source.
 */
const ANY_ENGINE = { spark: 1150, diesel: 2600, twoStroke: 850, scale: 0.4 } as const;

/** Independent estimates of the level. Their tails are heavy, so that one that disagrees with the others gives way. */
export function statements(
  { geometry, manual: { minKpa, maxKpa } }: EngineFacts,
  cranked: Cranked,
): Statement[] {
  const expected = expectedCranking(geometry, cranked);
  const known: Statement[] = [];
  if (expected !== null) {
    known.push({
      mean: Math.log(expected.expectedKpa),
      scale: Math.log(expected.highKpa / expected.lowKpa) / (2 * LEVEL_95),
    });
  }
  // A manual refers to sea level, yet some state local readings. Half the correction is applied, and as much
  // uncertainty.
  const thinAir = lnThinAir(cranked) / 2;
  const fromManual = (kpa: number, offset: Statement): Statement => ({
    mean: Math.log(kpa) + offset.mean + thinAir - hoseLoss(cranked).mean + lnSpeedEffect(cranked),
    scale: Math.hypot(offset.scale, thinAir, hoseLoss(cranked).scale),
  });
  if (minKpa !== undefined) known.push(fromManual(minKpa, ABOVE_MANUAL_MIN));
  else if (maxKpa !== undefined) known.push(fromManual(maxKpa, BELOW_MANUAL_MAX));
  return known;
}

const lnThinAir = ({ ambientKpa }: Cranked): number =>
  Math.log((ambientKpa ?? SEA_LEVEL_KPA) / SEA_LEVEL_KPA);

/**
 * Loss (natural logarithm) to the volume of an open hose, which the maker's check-valve gauge does not have, and its scale: 5 cm3,
 * give or take 4, beside a clearance of 50 cm3.
 */
const OPEN_HOSE: Statement = { mean: 0.1, scale: 0.09 };
const NO_LOSS: Statement = { mean: 0, scale: 0 };
const hoseLoss = ({ hose }: Cranked): Statement => (hose === 'open' ? OPEN_HOSE : NO_LOSS);

/**
 * Probability that the manual would call this level sound: near 0 below the minimum, at sea level with a check-valve
 * gauge.
 */
function aboveTheMinimum(lnLevel: number, { manual: { minKpa } }: EngineFacts, cranked: Cranked): number {
  if (minKpa === undefined) return 1;
  const lnLeast = Math.log(minKpa) + lnThinAir(cranked) - hoseLoss(cranked).mean;
  const width = Math.hypot(MINIMUM_WIDTH, hoseLoss(cranked).scale / 2);
  return 1 / (1 + Math.exp(-(lnLevel - lnLeast) / width));
}

/** Prior for an engine without manual or geometry. */
function anyEngine({ fuel, cycle }: EngineFacts): Statement {
  const kpa = fuel === 'diesel' ? ANY_ENGINE.diesel : cycle === 2 ? ANY_ENGINE.twoStroke : ANY_ENGINE.spark;
  return { mean: Math.log(kpa), scale: ANY_ENGINE.scale };
}

/** Explanations in the order of `LevelPrior.density`. */
export const EXPLANATIONS: readonly Explanation[] = [
  'slow-cranking',
  'throttle-shut',
  'late-timing',
  'worn-rings',
  'unseen',
  'thin-air',
  'hose',
];

/** Number of points of a uniform shift. */
const SHIFTS = 5;

/**
 * Combines the estimates into the prior of the level. Speed and closing that the trace shows lower what a normal engine reads, too:
 * they accuse by being unusual, not by the level.
 */
export function levelPrior(engine: EngineFacts, cranked: Cranked, signs: EngineSigns): LevelPrior {
  const known = statements(engine, cranked);
  const prior = known.length > 0 ? known : [anyEngine(engine)];
  const { geometry, fuel } = engine;
  const density = (ln: number): number =>
    prior.reduce((product, { mean, scale }) => product * studentT(ln - mean, scale, LEVEL_FREEDOM), 1);
  const closing = signs.closesDegAbdc;
  const lnClosing = closing === null ? 0 : lnClosingEffect(geometry, cranked, closing);
  const odds = signOdds(signs, geometry.intakeClosesDegAbdc, fuel);
  const shifted = (ln: number): number =>
    SHORTFALLS.size.reduce((sum, by, i) => sum + SHORTFALLS.weight[i]! * density(ln + by), 0);
  const uniformly = (ln: number, { odds: prior, most }: { odds: number; most: number }): number => {
    let sum = 0;
    for (let i = 0; i < SHIFTS; i++) sum += density(ln + (most * (i + 0.5)) / SHIFTS);
    return (prior * sum) / SHIFTS;
  };
  const seenAsIs: readonly Explanation[] = [
    ...(cranked.rpm === undefined && cranked.topRpm === undefined ? [] : (['slow-cranking'] as const)),
    ...(closing === null ? [] : (['late-timing'] as const)),
  ];
  const oddsOf = (explanation: keyof typeof EXPLANATION_SHARE): number =>
    ALL_LOW_PRIOR_ODDS * EXPLANATION_SHARE[explanation] * (odds[explanation] ?? 1);
  return {
    informed: known.length > 0,
    lnHighest: Math.max(...prior.map(({ mean, scale }) => mean + 2 * scale)),
    density(ln) {
      const asIs = density(ln - lnClosing);
      const low = shifted(ln);
      const by = EXPLANATIONS.map((one) => {
        if (one === 'thin-air')
          return cranked.ambientKpa === undefined ? uniformly(ln, ONLY_READS_LOW[one]) : 0;
        if (one === 'hose')
          return uniformly(ln, ONLY_READS_LOW[cranked.hose === 'open' ? 'open-hose' : 'check-valve']);
        return oddsOf(one) * (seenAsIs.includes(one) ? asIs : low);
      });
      const allLow = by.slice(0, -2).reduce((a, b) => a + b, 0);
      return { normal: asIs * aboveTheMinimum(ln, engine, cranked) + LEAST_DENSITY, allLow, by };
    },
  };
}
