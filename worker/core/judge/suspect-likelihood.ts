/** Likelihood of a cylinder's level and signature under each fault, relative to a sound cylinder. */

import { median } from '../statistics.ts';
import { type Effect, FAULTS, SINGLE_FAULTS, type SingleFault } from './faults.ts';
import { type Signature, sameHose } from './signature.ts';
import * as model from './suspect-model.ts';

/**
 * Density of Student's t without the constant, since only ratios at equal freedom are formed. The scale is included.
 */
export function studentT(z: number, scale: number, freedom: number): number {
  return (1 + (z / scale) ** 2 / freedom) ** (-(freedom + 1) / 2) / scale;
}

interface SizeGrid {
  readonly size: readonly number[];
  /** Sums to 1. */
  readonly weight: readonly number[];
}

/** Gamma density on a grid that is finer for small sizes, truncated at `most`. */
export function sizeGrid({ shape, scale, most }: { shape: number; scale: number; most: number }): SizeGrid {
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

/**
 * Likelihoods of a cylinder's lag and wet rise under `kind`, for a drop of this size (natural logarithm). 1 for what
 * was not measured. `othersLag` may be `null`.
 */
export function featureLikelihood(
  kind: 'sound' | 'ring' | 'leak',
  drop: number,
  signature: Signature,
  othersLag: number | null,
): { lag: number; wetRise: number } {
  const { lag, lagSd, wetRise, wetRiseSd, reading } = signature;
  const usual = usualLag(othersLag, reading.hose === 'open', wetRise !== null);
  const lagLikelihood =
    lag === null || usual === null
      ? 1
      : onLine(
          lag - usual,
          drop,
          model.LAG[kind],
          Math.hypot(
            lagSd,
            model.LAG_SD_PER_HOSE_LAG * Math.abs(usual),
            othersLag === null ? model.USUAL_OPEN_LAG_SD : 0,
          ),
        );
  return {
    lag: lagLikelihood,
    wetRise: wetRise === null ? 1 : onLine(wetRise, drop, model.WET_RISE[kind], wetRiseSd),
  };
}

/**
 * Lag of a sound cylinder. On an open hose with a wet test, the others are the reference only within what sound engines show, since
 * all may be worn. Without oil that is weighed for the whole engine (engine-signs.ts): a film that builds slowly looks the same.
 */
function usualLag(othersLag: number | null, isOpen: boolean, isWetTested: boolean): number | null {
  if (!isOpen) return othersLag;
  if (othersLag === null) return model.USUAL_OPEN_LAG;
  return isWetTested ? Math.min(othersLag, model.MOST_OPEN_LAG) : othersLag;
}

/** Median lag of the other cylinders on the same kind of hose; `null` when there are none. */
export function othersLag(signatures: readonly Signature[], self: Signature): number | null {
  const lags = signatures.flatMap((one) =>
    one !== self && sameHose(one.reading, self.reading) && one.lag !== null ? one.lag : [],
  );
  return lags.length === 0 ? null : median(lags);
}

/**
 * Values computed once per cylinder. `ring` and `leak` hold, per size of drop, the weight of the size times the
 * likelihood ratio of the features against a sound cylinder.
 */
export interface CylinderTable {
  readonly signature: Signature;
  readonly ring: readonly number[];
  readonly leak: readonly number[];
  /** Scale of its level about the expected one. */
  readonly scale: number;
}

/** Computes the table of one cylinder. */
export function tableOf(signature: Signature, signatures: readonly Signature[]): CylinderTable {
  const hoseLag = othersLag(signatures, signature);
  const product = (kind: 'sound' | 'ring' | 'leak', drop: number): number => {
    const { lag, wetRise } = featureLikelihood(kind, drop, signature, hoseLag);
    return lag * wetRise;
  };
  const sound = product('sound', 0);
  const ratios = (kind: 'ring' | 'leak') => DROPS.size.map((drop) => product(kind, drop) / sound);
  return {
    signature,
    ring: ratios('ring'),
    leak: ratios('leak'),
    scale: Math.hypot(soundScale(signatures), signature.lnLevelSd, conditionsSd(signature, signatures)),
  };
}

const levelDensity = (z: number, scale: number): number => studentT(z, scale, model.SOUND_SPREAD.freedom);

/** Standard deviation of the level from a different speed or hose than the other cylinders'. */
function conditionsSd({ reading }: Signature, signatures: readonly Signature[]): number {
  const speeds = signatures.flatMap((one) => one.reading.crankingRpm ?? []);
  const speedSd =
    reading.crankingRpm === null || reading.crankingRpm <= 0
      ? 0
      : model.SD_PER_LN_SPEED * Math.abs(Math.log(reading.crankingRpm / median(speeds)));
  const mixed = signatures.some((one) => !sameHose(one.reading, reading));
  return Math.hypot(speedSd, mixed ? model.MIXED_HOSE_SD : 0);
}

/** Density of a sound cylinder's level at a common level, both ln kPa. */
export const soundDensity = ({ signature, scale }: CylinderTable, lnCommon: number): number =>
  levelDensity(signature.lnLevel - lnCommon, scale);

/** Scale of the differences between sound cylinders of this engine, natural logarithm. */
export function soundScale(signatures: readonly Signature[]): number {
  const { scale, rpm, slowest, fastest } = model.SOUND_SPREAD;
  const speeds = signatures.flatMap(({ reading }) => reading.crankingRpm ?? []);
  if (speeds.length === 0) return scale;
  return (scale * rpm) / Math.min(fastest, Math.max(slowest, median(speeds)));
}

/**
 * Odds of each fault of one cylinder against sound, at common level `lnCommon` (ln kPa). `share` divides the prior
 * odds among the cylinders.
 */
export function singleOdds(
  table: CylinderTable,
  lnCommon: number,
  share: number,
): Record<SingleFault, number> {
  const { scale } = table;
  const z = table.signature.lnLevel - lnCommon;
  let ring = 0;
  let leak = 0;
  for (let i = 0; i < DROPS.size.length; i++) {
    const here = DROPS.weight[i]! * levelDensity(z + DROPS.size[i]!, scale);
    ring += here * table.ring[i]!;
    leak += here * table.leak[i]!;
  }
  let space = 0;
  for (let i = 0; i < RISES.size.length; i++) {
    space += RISES.weight[i]! * levelDensity(z - RISES.size[i]!, scale);
  }
  const each = share / levelDensity(z, scale);
  const likelihood: Readonly<Record<Effect, number>> = { ring, leak, space };
  const oddsOf = (fault: SingleFault) => FAULTS[fault].priorOdds * each * likelihood[FAULTS[fault].effect];
  return Object.fromEntries(SINGLE_FAULTS.map((fault) => [fault, oddsOf(fault)])) as Record<
    SingleFault,
    number
  >;
}

/** Odds of one gasket leak between two neighbours, with equal drops, against both being sound. */
export function gasketOdds(a: CylinderTable, b: CylinderTable, lnCommon: number, share: number): number {
  const za = a.signature.lnLevel - lnCommon;
  const zb = b.signature.lnLevel - lnCommon;
  const unlike = model.GASKET_ALIKE_SD / Math.SQRT2;
  const scaleA = Math.hypot(a.scale, unlike);
  const scaleB = Math.hypot(b.scale, unlike);
  let sum = 0;
  for (let i = 0; i < DROPS.size.length; i++) {
    const drop = DROPS.size[i]!;
    const both = levelDensity(za + drop, scaleA) * levelDensity(zb + drop, scaleB);
    sum += DROPS.weight[i]! * both * a.leak[i]! * b.leak[i]!;
  }
  return (
    (FAULTS['head-gasket'].priorOdds * share * sum) / (soundDensity(a, lnCommon) * soundDensity(b, lnCommon))
  );
}

/** Sum of the odds of all single faults. */
export const sumOf = (odds: Record<SingleFault, number>): number =>
  SINGLE_FAULTS.reduce((sum, fault) => sum + odds[fault], 0);
