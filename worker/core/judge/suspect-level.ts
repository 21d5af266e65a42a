/** What is known beforehand of the level a sound cylinder of this engine should read: from its manual, geometry and the air. */
import type { EngineFacts } from '../engine.ts';
import { type Cranked, expectedCranking, OPEN_HOSE_LOSS } from '../physics/expected.ts';
import { SEA_LEVEL_KPA } from '../units.ts';
import { sizeGrid } from './suspect-likelihood.ts';
import { ALL_LOW, PRIOR_ODDS } from './suspect-model.ts';

export interface LevelPrior {
  /** Highest level worth looking at, natural logarithm of kPa. */
  readonly lnHighest: number;
  /**
   * Density of the level (ln kPa) that sound cylinders read, together with the state of the engine: as it should be, or
   * all low. Not normalised.
   */
  density(lnLevel: number): { readonly normal: number; readonly allLow: number };
  /** False when neither manual nor geometry says anything: only the widest guess is left. */
  readonly informed: boolean;
}

interface Normal {
  readonly mean: number;
  readonly sd: number;
}

/**
 * Sound engines read this far above their manual's minimum, which is set so that none fails: natural logarithms. The author's
 * own judgement from the limit of 75 % and from manuals that give both figures; no source.
 */
const ABOVE_MANUAL_MIN: Normal = { mean: 0.12, sd: 0.09 };
const BELOW_MANUAL_MAX: Normal = { mean: 0.1, sd: 0.08 };

/** How sharply a manual's minimum divides, natural logarithm: gauges differ by 2 to 3 %. */
const MINIMUM_WIDTH = 0.02;

/** Keeps the logarithm of a hopeless level finite. */
const LEAST_DENSITY = 1e-9;

const SHORTFALLS = sizeGrid(ALL_LOW);

/** Widest guess: what engines of this kind read at all, kPa. Common practice, no source. */
const ANY_ENGINE = { spark: 1150, diesel: 2600, twoStroke: 850, sd: 0.4 } as const;

/** Product of two independent normal statements about the same quantity. */
function both(a: Normal, b: Normal): Normal {
  const wa = a.sd ** -2;
  const wb = b.sd ** -2;
  return { mean: (a.mean * wa + b.mean * wb) / (wa + wb), sd: (wa + wb) ** -0.5 };
}

/** Everything that is said of the level, each as a normal density of ln kPa. */
function statements({ geometry, manual: { minKpa, maxKpa } }: EngineFacts, cranked: Cranked): Normal[] {
  const expected = expectedCranking(geometry, cranked);
  const known: Normal[] = [];
  if (expected !== null) {
    known.push({
      mean: Math.log(expected.expectedKpa),
      sd: Math.log(expected.highKpa / expected.lowKpa) / 4,
    });
  }
  // A maker means sea level, yet some state what local engines read. Half-way, and unsure by as much.
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

/** What the maker's gauge with its check valve does not lose to the space in an open hose, at most. */
const hoseLoss = ({ hose }: Cranked): number => (hose === 'open' ? OPEN_HOSE_LOSS : 0);

/**
 * Chance that a maker would still call this level sound: next to none below the minimum, on the maker's terms of sea level and
 * a check-valve gauge.
 */
function aboveTheMinimum(lnLevel: number, { manual: { minKpa } }: EngineFacts, cranked: Cranked): number {
  if (minKpa === undefined) return 1;
  const lnLeast = Math.log(minKpa) + lnThinAir(cranked) - hoseLoss(cranked);
  return 1 / (1 + Math.exp(-(lnLevel - lnLeast) / MINIMUM_WIDTH));
}

/** Level of an engine of which nothing is known. */
function anyEngine({ fuel, cycle }: EngineFacts): Normal {
  const kpa = fuel === 'diesel' ? ANY_ENGINE.diesel : cycle === 2 ? ANY_ENGINE.twoStroke : ANY_ENGINE.spark;
  return { mean: Math.log(kpa), sd: ANY_ENGINE.sd };
}

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
        PRIOR_ODDS['all-low'] *
        SHORTFALLS.size.reduce((sum, by, i) => sum + SHORTFALLS.weight[i]! * density(ln + by), 0),
    }),
  };
}
