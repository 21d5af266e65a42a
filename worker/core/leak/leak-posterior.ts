import {
  clearanceCm3,
  crankEngine,
  type LeakGeometry,
  MOST_LEAK_MM2,
  type PeakTable,
  peakTable,
} from '../physics/leak-table.ts';
import { median } from '../statistics.ts';
import { AREA_DOUBT, doubtFactor, type Known, RATIO_DOUBT } from './leak-doubt.ts';
import type { LeakEvidence } from './leak-evidence.ts';
import { type Anchor, AREAS, anchorsFor, areas, LARGEST, LN_STEP, usualLeakMm2 } from './leak-prior.ts';

/** Posterior of one cylinder's leak. */
interface LeakBelief {
  /** Median and 80 % interval of the effective area, mm2. */
  readonly leakMm2: number;
  readonly lowMm2: number;
  readonly highMm2: number;
  /** The leak is at or beyond the largest that the strokes can resolve. */
  readonly beyond: boolean;
  /** Probabilities that the cylinder is sound, and that it reads high because deposits take up space (carbon). */
  readonly sound: number;
  readonly aboveOthers: number;
  /** What the doubt in the model depends on. */
  readonly known: Known;
  /** Mean and variance of ln area given each point of the grid of common unknowns. */
  readonly given: readonly Moments[];
}

interface Moments {
  readonly mean: number;
  readonly variance: number;
}

/** Posteriors by cylinder number. */
export interface LeakPosterior {
  readonly dry: ReadonlyMap<number, LeakBelief>;
  readonly wet: ReadonlyMap<number, LeakBelief>;
  /** Posterior mean of the clearance added by adapter and wrong figures, as a share of it. */
  readonly space: number;
  /** Weights of the grid points of `LeakBelief.given`; their sum is 1. */
  readonly weights: readonly number[];
}

/** Facts common to all cylinders. */
export interface LeakSetting {
  readonly geometry: LeakGeometry;
  readonly ambientKpa: number;
  /** Extra standard deviation of ln peak, common to all cylinders, for unknown figures. */
  readonly looseness: number;
  /** The engine card states the intake closing. */
  readonly isClosingKnown: boolean;
}

/** Standard deviation of ln peak between sound cylinders of one engine, from their compression ratios. */
const OWN_RATIO_SD = 0.009;
/** Rise of a carbon cylinder above a sound one, uniform in ln peak. */
const CARBON = { from: 0.05, to: 0.4 } as const;
/**
 * Prior and grid of the added clearance, as a share of the clearance. It stands for all that shifts the level of an engine: adapter,
 * ratio, closing and heat law.
 */
const SPACE = { mean: 0.02, sd: 0.12, least: -0.3, most: 0.45, steps: 30 } as const;
/** Crank strengths (1 is usual) and their odds when no pulse width is available. */
const STRENGTHS = [
  { strength: 0.65, odds: 0.15 },
  { strength: 0.95, odds: 0.35 },
  { strength: 1.5, odds: 0.35 },
  { strength: 3, odds: 0.15 },
] as const;
/** Volume of oil that stays on the piston, cm3. */
const OIL = { cm3: 1.1, sd: 0.5 } as const;
/** d ln peak / d ln clearance and d ln peak / d ln speed, accurate enough for small corrections. */
const BY_CLEARANCE = -1.2;
const BY_SPEED = 0.35;
/** 80 % of a normal distribution lies within this many standard deviations. */
const MOST_80 = 1.2816;

const normal = (z: number): number => Math.exp(-0.5 * z * z);

/** One grid point of the unknowns common to all cylinders. */
interface Common {
  readonly weight: number;
  readonly space: number;
  readonly anchor: Anchor;
  /** ln peak at each area. */
  readonly lnPeaks: Float64Array;
}

/** Bayesian estimate on a grid: first the common unknowns, then each cylinder given these. */
export function leakPosterior(
  dry: readonly LeakEvidence[],
  wet: readonly LeakEvidence[],
  setting: LeakSetting,
): LeakPosterior {
  const rpm = median(dry.map((e) => e.rpm));
  const commons = commonGrid(dry, rpm, setting);
  const weighted = normalised(
    commons.map((c) => {
      const lnLikelihood = dry.reduce((sum, e) => sum + Math.log(likelihood(e, rpm, c).total), 0);
      return { ...c, lnWeight: Math.log(c.weight) + lnLikelihood };
    }),
  );
  const oilShare = OIL.cm3 / clearanceCm3(setting.geometry);
  const oil = { ln: -BY_CLEARANCE * oilShare, sd: (-BY_CLEARANCE * oilShare * OIL.sd) / OIL.cm3 };
  const belief = (e: LeakEvidence, kind: 'dry' | 'wet') =>
    beliefOf(e, rpm, weighted, setting.isClosingKnown, kind);
  return {
    dry: new Map(dry.map((e) => [e.cylinder, belief(e, 'dry')])),
    wet: new Map(wet.map((e) => [e.cylinder, belief(dryAgain(e, oil), 'wet')])),
    space: weighted.reduce((sum, c) => sum + c.weight * c.space, 0),
    weights: weighted.map((c) => c.weight),
  };
}

/** 80 % interval of the ratio of two leaks of one engine. */
export function ratioInterval(
  own: LeakBelief,
  best: LeakBelief,
  weights: readonly number[],
): readonly [low: number, high: number] {
  const total = weights.reduce((a, b) => a + b, 0);
  const over = (of: (i: number) => number) =>
    weights.reduce((sum, weight, i) => sum + (weight / total) * of(i), 0);
  const gap = (i: number) => own.given[i]!.mean - best.given[i]!.mean;
  const mean = over(gap);
  const variance = over((i) => (gap(i) - mean) ** 2 + own.given[i]!.variance + best.given[i]!.variance);
  const half = MOST_80 * Math.sqrt(variance) * doubtFactor(RATIO_DOUBT, own.known);
  const ratio = own.leakMm2 / best.leakMm2;
  return [Math.max(1, ratio * Math.exp(-half)), ratio * Math.exp(half)];
}

/** A wet reading corrected for the volume of the oil. */
const dryAgain = (e: LeakEvidence, oil: { ln: number; sd: number }): LeakEvidence => ({
  ...e,
  lnPeak: e.lnPeak - oil.ln,
  lnPeakSd: Math.hypot(e.lnPeakSd, oil.sd),
});

/** Weights that sum to 1; negligible grid points are dropped. */
function normalised(commons: readonly (Common & { lnWeight: number })[]): Common[] {
  const best = Math.max(...commons.map((c) => c.lnWeight));
  const weights = commons.map((c) => Math.exp(c.lnWeight - best));
  const total = weights.reduce((a, b) => a + b, 0);
  return commons.map((c, i) => ({ ...c, weight: weights[i]! / total })).filter((c) => c.weight > 1e-4);
}

function commonGrid(dry: readonly LeakEvidence[], rpm: number, setting: LeakSetting): Common[] {
  const { ambientKpa, geometry, looseness } = setting;
  const strength = strengthFromWidth(dry, setting);
  const strengths = strength === null ? STRENGTHS : [{ strength, odds: 1 }];
  const sd = Math.hypot(SPACE.sd, looseness / -BY_CLEARANCE);
  const tables = strengths.map((s) => ({ ...s, table: peakTable(geometry, ambientKpa, rpm, s.strength) }));
  const anchors = anchorsFor(geometry.boreMm);
  const spaces = Array.from(
    { length: SPACE.steps },
    (_, i) => SPACE.least + ((SPACE.most - SPACE.least) * i) / (SPACE.steps - 1),
  );
  return tables.flatMap(({ odds, table }) =>
    spaces.flatMap((space) => {
      const lnPeaks = lnPeaksOf(table, space);
      const weight = odds * normal((space - SPACE.mean) / sd) + 1e-9;
      return anchors.map((anchor) => ({ space, anchor, weight: weight * anchor.weight, lnPeaks }));
    }),
  );
}

const lnPeaksOf = (table: PeakTable, space: number): Float64Array => areas.map((a) => table.lnPeak(a, space));

/** Crank strength that reproduces the pulse width of the highest cylinders, by bisection; `null` without widths. */
function strengthFromWidth(
  dry: readonly LeakEvidence[],
  { ambientKpa, geometry }: LeakSetting,
): number | null {
  const top = Math.max(...dry.map((e) => e.lnPeak));
  const seen = dry.filter((e) => e.halfWidthS !== null && e.lnPeak > top - 0.15);
  if (seen.length === 0) return null;
  const widthS = median(seen.map((e) => e.halfWidthS!));
  const rpm = median(seen.map((e) => e.rpm));
  const widthAt = (strength: number) =>
    crankEngine(geometry, ambientKpa, rpm, usualLeakMm2(geometry.boreMm), SPACE.mean, strength).halfWidthS;
  let low = Math.log(0.4);
  let high = Math.log(20);
  for (let i = 0; i < 7; i++) {
    const middle = (low + high) / 2;
    if (widthAt(Math.exp(middle)) > widthS) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}

/** Likelihood of the cylinder's peak under each state. Fills `out`, if given, with the joint density by area. */
function likelihood(
  e: LeakEvidence,
  rpm: number,
  common: Common,
  kind: 'dry' | 'wet' = 'dry',
  out?: Float64Array,
) {
  const prior = common.anchor[kind];
  const lnPeak = e.lnPeak - BY_SPEED * Math.log(e.rpm / rpm);
  const sd = Math.hypot(e.lnPeakSd, OWN_RATIO_SD);
  let sound = 0;
  let leaking = 0;
  let at = 0;
  for (let i = 0; i < AREAS; i++) {
    // The largest area represents all larger ones too, so that a dead cylinder says nothing about the sound ones.
    const off = i === LARGEST ? Math.max(0, lnPeak - common.lnPeaks[i]!) : lnPeak - common.lnPeaks[i]!;
    const density = normal(off / sd) / sd / Math.sqrt(2 * Math.PI);
    const s = prior.sound[i]! * density;
    const l = prior.leaking[i]! * density;
    sound += s;
    leaking += l;
    if (out) out[i] = s + l;
    if (areas[i]! <= common.anchor.mm2) at = common.lnPeaks[i]!;
  }
  const above = lnPeak - at;
  const carbon = above > CARBON.from && above < CARBON.to ? prior.carbon / (CARBON.to - CARBON.from) : 0;
  return { sound, leaking, carbon, total: sound + leaking + carbon + 1e-12 };
}

function beliefOf(
  e: LeakEvidence,
  rpm: number,
  commons: readonly Common[],
  isClosingKnown: boolean,
  kind: 'dry' | 'wet',
): LeakBelief {
  const density = new Float64Array(AREAS);
  const one = new Float64Array(AREAS);
  let sound = 0;
  let carbon = 0;
  let all = 0;
  const given: Moments[] = [];
  for (const common of commons) {
    const parts = likelihood(e, rpm, common, kind, one);
    given.push(momentsOf(one));
    // The weight of the grid point already includes this cylinder's likelihood, unless the reading is wet.
    const share = kind === 'dry' ? common.weight / parts.total : common.weight;
    sound += share * parts.sound;
    carbon += share * parts.carbon;
    all += share * parts.total;
    for (let i = 0; i < AREAS; i++) density[i]! += share * one[i]!;
  }
  const q = (share: number) => Math.log(quantileOf(density, share));
  const middle = q(0.5);
  const known = { soundChance: sound / all, hasWidth: e.halfWidthS !== null, hasClosing: isClosingKnown };
  const factor = doubtFactor(AREA_DOUBT, known);
  return {
    leakMm2: Math.exp(middle),
    lowMm2: Math.exp(middle - factor * (middle - q(0.1))),
    highMm2: Math.exp(middle + factor * (q(0.9) - middle)),
    beyond: density[LARGEST]! > 0.5 * density.reduce((a, b) => a + b, 0),
    sound: sound / all,
    aboveOthers: carbon / all,
    known,
    given,
  };
}

/** Mean and variance of ln area, each exact to the step of the grid. */
function momentsOf(density: Float64Array): Moments {
  let total = 1e-300;
  let first = 0;
  let second = 0;
  for (let i = 0; i < AREAS; i++) {
    const ln = i * LN_STEP;
    total += density[i]!;
    first += density[i]! * ln;
    second += density[i]! * ln ** 2;
  }
  const mean = first / total;
  return { mean, variance: Math.max(0, second / total - mean ** 2) };
}

/** Quantile of the area, interpolated between grid points. */
function quantileOf(density: Float64Array, share: number): number {
  const total = density.reduce((a, b) => a + b, 0);
  let below = 0;
  for (let i = 0; i < AREAS; i++) {
    const next = below + density[i]!;
    if (next >= share * total) {
      const part = density[i]! > 0 ? (share * total - below) / density[i]! : 0;
      return areas[i]! * Math.exp((part - 0.5) * LN_STEP);
    }
    below = next;
  }
  return MOST_LEAK_MM2;
}
