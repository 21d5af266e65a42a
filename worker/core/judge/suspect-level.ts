/** Prior of the level that a sound cylinder of this engine reads, from manual, geometry and air. */
import type { EngineFacts } from '../engine.ts';
import { type Cranked, expectedCranking, OPEN_HOSE_LOSS } from '../physics/expected.ts';
import { SEA_LEVEL_KPA } from '../units.ts';
import { sizeGrid } from './suspect-likelihood.ts';
import { ALL_LOW, ALL_LOW_PRIOR_ODDS } from './suspect-model.ts';

/** Prior of the common level. */
export interface LevelPrior {
  /** Highest level to consider, ln kPa. */
  readonly lnHighest: number;
  /**
   * Joint density of the level of sound cylinders (ln kPa) and the state of the engine: normal, or all low. Not
   * normalised.
   */
  density(lnLevel: number): { readonly normal: number; readonly allLow: number };
  /** False when neither manual nor geometry is known and only the general prior is left. */
  readonly informed: boolean;
}

interface Normal {
  readonly mean: number;
  readonly sd: number;
}

/**
 * Offset of sound engines from the manual's minimum and maximum (natural logarithms). A minimum is set so that none
 * fails. The author's own judgement from the limit of 75 % and from manuals that give both figures; no source.
 */
const ABOVE_MANUAL_MIN: Normal = { mean: 0.12, sd: 0.09 };
const BELOW_MANUAL_MAX: Normal = { mean: 0.1, sd: 0.08 };

/** Width of the transition at the manual's minimum, natural logarithm: gauges differ by 2 to 3 %. */
const MINIMUM_WIDTH = 0.02;

/** Keeps the logarithm of an impossible level finite. */
const LEAST_DENSITY = 1e-9;

const SHORTFALLS = sizeGrid(ALL_LOW);

/**
 * General prior by kind of engine, kPa, with its standard deviation (natural logarithm). Common practice, no source.
 */
const ANY_ENGINE = { spark: 1150, diesel: 2600, twoStroke: 850, sd: 0.4 } as const;

/** Product of two independent normal densities of one quantity. */
function both(a: Normal, b: Normal): Normal {
  const wa = a.sd ** -2;
  const wb = b.sd ** -2;
  return { mean: (a.mean * wa + b.mean * wb) / (wa + wb), sd: (wa + wb) ** -0.5 };
}

/** Independent estimates of the level, each a normal density of ln kPa. */
function statements({ geometry, manual: { minKpa, maxKpa } }: EngineFacts, cranked: Cranked): Normal[] {
  const expected = expectedCranking(geometry, cranked);
  const known: Normal[] = [];
  if (expected !== null) {
    known.push({
      mean: Math.log(expected.expectedKpa),
      sd: Math.log(expected.highKpa / expected.lowKpa) / 4,
    });
  }
  // A manual refers to sea level, yet some state local readings. Half the correction is applied, and as much
  // uncertainty.
  const thinAir = lnThinAir(cranked) / 2;
  const fromManual = (kpa: number, offset: Normal): Normal => ({
    mean: Math.log(kpa) + offset.mean + thinAir - hoseLoss(cranked) / 2,
    sd: Math.hypot(offset.sd, thinAir, hoseLoss(cranked) / 2),
  });
  if (minKpa !== undefined) known.push(fromManual(minKpa, ABOVE_MANUAL_MIN));
  else if (maxKpa !== undefined) known.push(fromManual(maxKpa, BELOW_MANUAL_MAX));
  return known;
}

const lnThinAir = ({ ambientKpa }: Cranked): number =>
  Math.log((ambientKpa ?? SEA_LEVEL_KPA) / SEA_LEVEL_KPA);

/**
 * Largest loss (natural logarithm) to the volume of an open hose, which the maker's check-valve gauge does not have.
 */
const hoseLoss = ({ hose }: Cranked): number => (hose === 'open' ? OPEN_HOSE_LOSS : 0);

/**
 * Probability that the manual would call this level sound: near 0 below the minimum, at sea level with a check-valve
 * gauge.
 */
function aboveTheMinimum(lnLevel: number, { manual: { minKpa } }: EngineFacts, cranked: Cranked): number {
  if (minKpa === undefined) return 1;
  const lnLeast = Math.log(minKpa) + lnThinAir(cranked) - hoseLoss(cranked);
  return 1 / (1 + Math.exp(-(lnLevel - lnLeast) / MINIMUM_WIDTH));
}

/** Prior for an engine without manual or geometry. */
function anyEngine({ fuel, cycle }: EngineFacts): Normal {
  const kpa = fuel === 'diesel' ? ANY_ENGINE.diesel : cycle === 2 ? ANY_ENGINE.twoStroke : ANY_ENGINE.spark;
  return { mean: Math.log(kpa), sd: ANY_ENGINE.sd };
}

/** Combines the estimates into the prior of the level. */
export function levelPrior(engine: EngineFacts, cranked: Cranked): LevelPrior {
  const known = statements(engine, cranked);
  const should = known.length > 0 ? known.reduce(both) : anyEngine(engine);
  const density = (ln: number): number => Math.exp(-(((ln - should.mean) / should.sd) ** 2) / 2) / should.sd;
  return {
    informed: known.length > 0,
    lnHighest: should.mean + 2 * should.sd,
    density: (ln) => ({
      normal: density(ln) * aboveTheMinimum(ln, engine, cranked) + LEAST_DENSITY,
      allLow:
        ALL_LOW_PRIOR_ODDS *
        SHORTFALLS.size.reduce((sum, by, i) => sum + SHORTFALLS.weight[i]! * density(ln + by), 0),
    }),
  };
}
