/**
 * Weighs every fault against a sound engine by Bayes' rule.
 *
 * The unknown that couples the cylinders is the level that a sound one of this engine would read here and now. On a grid of
 * that level each cylinder is weighed alone (sound, or one fault, its size integrated out), neighbours also as a pair
 * behind one gasket; then the grid is summed with what manual and geometry say of the level. Two faults in one engine
 * are therefore allowed for; two in one cylinder are not.
 */

import type { Signature } from './signature.ts';
import { median } from './statistics.ts';
import type { LevelPrior } from './suspect-level.ts';
import * as model from './suspect-model.ts';

type SingleFault = Exclude<model.CylinderFault, 'head-gasket'>;

export interface Weighing {
  /** Probability that this fault is at work in all of these cylinders (for a gasket: the pair). */
  probability(fault: model.CylinderFault, cylinders: readonly number[]): number;
  /** Probability that the whole engine reads lower than it should. */
  readonly allLow: number;
  /** Probability that nothing is wrong with this cylinder. */
  sound(cylinder: number): number;
  /** Mean of the level that a sound cylinder of this engine reads here, natural logarithm of kPa. */
  readonly lnCommon: number;
}

const STEP = 0.0125;

/** Density of Student's t, not normalised: only ratios at the same freedom are formed. The scale is kept. */
export function studentT(z: number, scale: number, freedom: number): number {
  return (1 + (z / scale) ** 2 / freedom) ** (-(freedom + 1) / 2) / scale;
}

interface SizeGrid {
  readonly size: readonly number[];
  /** Sums to 1. */
  readonly weight: readonly number[];
}

/** A gamma density on a grid that is finer for small sizes. */
function sizeGrid({ shape, scale, most }: { shape: number; scale: number; most: number }): SizeGrid {
  const count = 36;
  const size = Array.from({ length: count }, (_, i) => most * ((i + 0.5) / count) ** 1.6);
  const raw = size.map((s, i) => {
    const width = most * (((i + 1) / count) ** 1.6 - (i / count) ** 1.6);
    return s ** (shape - 1) * Math.exp(-s / scale) * width;
  });
  const total = raw.reduce((a, b) => a + b, 0);
  return { size, weight: raw.map((w) => w / total) };
}

const DROPS = sizeGrid(model.DROP);
const RISES = sizeGrid(model.RISE);

const onLine = (value: number, drop: number, line: model.Line, extraSd = 0): number => {
  const sd = Math.hypot(line.sd0 + line.sdPerDrop * drop, extraSd);
  return studentT(value - line.at0 - line.perDrop * drop, sd, model.FEATURE_FREEDOM);
};

/** Likelihoods of a cylinder's lag and wet rise under `kind`, for a drop of this size. What was not measured says nothing. */
export function featureLikelihood(
  kind: 'sound' | 'ring' | 'leak',
  drop: number,
  signature: Signature,
  othersLag: number | null,
): { lag: number; wetRise: number } {
  const { lag, wetRise, reading } = signature;
  const usual = othersLag ?? (reading.hose === 'open' ? model.USUAL_OPEN_LAG : null);
  const lagLikelihood =
    lag === null || usual === null
      ? 1
      : onLine(lag - usual, drop, model.LAG[kind], model.LAG_SD_PER_HOSE_LAG * Math.abs(usual));
  return {
    lag: lagLikelihood,
    wetRise: wetRise === null ? 1 : onLine(wetRise, drop, model.WET_RISE[kind]),
  };
}

/** Median lag of the other cylinders on the same kind of hose; `null` when there are none. */
export function othersLag(signatures: readonly Signature[], self: Signature): number | null {
  const lags = signatures.flatMap((one) =>
    one !== self && one.reading.hose === self.reading.hose && one.lag !== null ? one.lag : [],
  );
  return lags.length === 0 ? null : median(lags);
}

/** Per size of drop: the likelihood ratio of the features against a sound cylinder, times the weight of the size. */
interface CylinderTable {
  readonly signature: Signature;
  readonly ring: readonly number[];
  readonly leak: readonly number[];
}

function tableOf(signature: Signature, hoseLag: number | null): CylinderTable {
  const product = (kind: 'sound' | 'ring' | 'leak', drop: number): number => {
    const { lag, wetRise } = featureLikelihood(kind, drop, signature, hoseLag);
    return lag * wetRise;
  };
  const sound = product('sound', 0);
  const ratios = (kind: 'ring' | 'leak') => DROPS.size.map((drop) => product(kind, drop) / sound);
  return { signature, ring: ratios('ring'), leak: ratios('leak') };
}

/** Density of a cylinder's level at distance `z` from what it should be. */
type LevelDensity = (z: number) => number;

const levelDensity =
  (scale: number): LevelDensity =>
  (z) =>
    studentT(z, scale, model.SOUND_SPREAD.freedom);

/** Scale by which the levels of this engine's sound cylinders differ. */
export function soundScale(signatures: readonly Signature[]): number {
  const { scale, rpm, slowest, fastest } = model.SOUND_SPREAD;
  const speeds = signatures.flatMap(({ reading }) => reading.crankingRpm ?? []);
  if (speeds.length === 0) return scale;
  return (scale * rpm) / Math.min(fastest, Math.max(slowest, median(speeds)));
}

/** Odds of each fault of one cylinder against sound, when a sound one would read `lnCommon`. */
function singleOdds(
  table: CylinderTable,
  lnCommon: number,
  share: number,
  level: LevelDensity,
): Record<SingleFault, number> {
  const z = table.signature.lnLevel - lnCommon;
  const sound = level(z);
  let ring = 0;
  let leak = 0;
  for (let i = 0; i < DROPS.size.length; i++) {
    const here = DROPS.weight[i]! * level(z + DROPS.size[i]!);
    ring += here * table.ring[i]!;
    leak += here * table.leak[i]!;
  }
  let carbon = 0;
  for (let i = 0; i < RISES.size.length; i++) carbon += RISES.weight[i]! * level(z - RISES.size[i]!);
  const odds = (fault: SingleFault, likelihood: number) =>
    (model.PRIOR_ODDS[fault] * share * likelihood) / sound;
  return {
    'ring-wear': odds('ring-wear', ring),
    'valve-leak': odds('valve-leak', leak),
    carbon: odds('carbon', carbon),
  };
}

function gasketOdds(
  a: CylinderTable,
  b: CylinderTable,
  lnCommon: number,
  share: number,
  scale: number,
): number {
  const za = a.signature.lnLevel - lnCommon;
  const zb = b.signature.lnLevel - lnCommon;
  const level = levelDensity(scale);
  const alike = levelDensity(Math.hypot(scale, model.GASKET_ALIKE_SD / Math.SQRT2));
  let sum = 0;
  for (let i = 0; i < DROPS.size.length; i++) {
    const drop = DROPS.size[i]!;
    sum += DROPS.weight[i]! * alike(za + drop) * alike(zb + drop) * a.leak[i]! * b.leak[i]!;
  }
  return (model.PRIOR_ODDS['head-gasket'] * share * sum) / (level(za) * level(zb));
}

/** Everything about the engine at one common level. */
interface Slice {
  readonly lnCommon: number;
  readonly weight: number;
  readonly allLow: number;
  readonly singles: readonly Record<SingleFault, number>[];
  /** Odds of each pair against both being free of it, and their sum. */
  readonly pairs: readonly number[];
  readonly pairSum: number;
}

const sumOf = (odds: Record<SingleFault, number>): number =>
  odds['ring-wear'] + odds['valve-leak'] + odds.carbon;

/** `neighbours` that lack a signature are left out. `signatures` must not be empty. */
export function weighFaults(
  signatures: readonly Signature[],
  neighbours: readonly (readonly [number, number])[],
  prior: LevelPrior,
): Weighing {
  const scale = soundScale(signatures);
  const level = levelDensity(scale);
  const tables = signatures.map((one) => tableOf(one, othersLag(signatures, one)));
  const indexOf = new Map(signatures.map((one, i) => [one.cylinder, i]));
  const pairs = neighbours.flatMap(([a, b]) =>
    indexOf.has(a) && indexOf.has(b) ? [[indexOf.get(a)!, indexOf.get(b)!] as const] : [],
  );
  const lowest = Math.min(...signatures.map((one) => one.lnLevel)) - 0.15;
  const highest = Math.max(prior.lnHighest, ...signatures.map((one) => one.lnLevel)) + 0.15;

  const slices: (Slice & { lnWeight: number })[] = [];
  for (let lnCommon = lowest; lnCommon <= highest; lnCommon += STEP) {
    const singles = tables.map((table) => singleOdds(table, lnCommon, 1 / tables.length, level));
    const free = singles.map((odds) => 1 / (1 + sumOf(odds)));
    const pairOdds = pairs.map(
      ([a, b]) => gasketOdds(tables[a]!, tables[b]!, lnCommon, 1 / pairs.length, scale) * free[a]! * free[b]!,
    );
    const pairSum = pairOdds.reduce((a, b) => a + b, 0);
    const { normal, allLow } = prior.density(lnCommon);
    const lnSound = signatures.reduce((sum, one) => sum + Math.log(level(one.lnLevel - lnCommon)), 0);
    const lnSingles = free.reduce((sum, share) => sum - Math.log(share), 0);
    slices.push({
      lnCommon,
      lnWeight: lnSound + lnSingles + Math.log1p(pairSum) + Math.log(normal + allLow),
      weight: 0,
      allLow: allLow / (normal + allLow),
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

  /** Share of the slice in which no pair touching `indices` leaks. */
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
      if (fault === 'head-gasket') {
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
    lnCommon: mean((slice) => slice.lnCommon),
  };
}
