/** What is known beforehand of the level a sound cylinder of this engine should read: from its manual, geometry and the air. */
import type { EngineFacts } from './engine.ts';
import { type ExpectedPressure, SEA_LEVEL_KPA } from './expected.ts';
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

/** Widest guess: what engines of this kind read at all, kPa. Common practice, no source. */
const ANY_ENGINE = { spark: 1150, diesel: 2600, twoStroke: 850, sd: 0.4 } as const;

/** Product of two independent normal statements about the same quantity. */
function both(a: Normal, b: Normal): Normal {
  const wa = a.sd ** -2;
  const wb = b.sd ** -2;
  return { mean: (a.mean * wa + b.mean * wb) / (wa + wb), sd: (wa + wb) ** -0.5 };
}

function statements(
  engine: EngineFacts,
  ambientKpa: number | undefined,
  expected: ExpectedPressure | null,
): Normal[] {
  const { minKpa, maxKpa } = engine.manual;
  // A maker means sea level; people hold the figure as measured against it. Half-way, and unsure by as much.
  const thinAir = Math.log((ambientKpa ?? SEA_LEVEL_KPA) / SEA_LEVEL_KPA) / 2;
  const known: Normal[] = [];
  if (expected !== null) {
    known.push({
      mean: Math.log(expected.expectedKpa),
      sd: Math.log(expected.highKpa / expected.lowKpa) / 4,
    });
  }
  if (minKpa !== undefined) {
    known.push({
      mean: Math.log(minKpa) + ABOVE_MANUAL_MIN.mean + thinAir,
      sd: Math.hypot(ABOVE_MANUAL_MIN.sd, thinAir),
    });
  } else if (maxKpa !== undefined) {
    known.push({
      mean: Math.log(maxKpa) - BELOW_MANUAL_MAX.mean + thinAir,
      sd: Math.hypot(BELOW_MANUAL_MAX.sd, thinAir),
    });
  }
  return known;
}

export function levelPrior(
  engine: EngineFacts,
  ambientKpa: number | undefined,
  expected: ExpectedPressure | null,
): LevelPrior {
  const known = statements(engine, ambientKpa, expected);
  const anyKpa =
    engine.fuel === 'diesel'
      ? ANY_ENGINE.diesel
      : engine.cycle === 2
        ? ANY_ENGINE.twoStroke
        : ANY_ENGINE.spark;
  const should = known.length > 0 ? known.reduce(both) : { mean: Math.log(anyKpa), sd: ANY_ENGINE.sd };
  const density = (ln: number): number => Math.exp(-(((ln - should.mean) / should.sd) ** 2) / 2) / should.sd;
  const steps = Array.from({ length: 40 }, (_, i) => ((i + 0.5) / 40) * ALL_LOW.most);
  const raw = steps.map((by) => by ** (ALL_LOW.shape - 1) * Math.exp(-by / ALL_LOW.scale));
  const total = raw.reduce((a, b) => a + b, 0);
  return {
    informed: known.length > 0,
    lnHighest: should.mean + 2 * should.sd,
    density: (ln) => ({
      normal: density(ln) + 1e-9,
      allLow:
        PRIOR_ODDS['all-low'] * steps.reduce((sum, by, i) => sum + (raw[i]! / total) * density(ln + by), 0),
    }),
  };
}
