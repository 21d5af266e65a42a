import type { EngineFacts } from '../engine.ts';
import { cylindersOf } from '../layouts.ts';
import type { Cranked } from '../physics/expected.ts';
import type { CylinderReading, Reading } from '../reading.ts';
import { hasNotice, isUnusable } from '../reading-quality.ts';
import { median } from '../statistics.ts';
import { engineSigns } from './engine-signs.ts';

/** Features of one cylinder's readings that the judgement uses. */
export interface Signature {
  readonly cylinder: number;
  /** The dry reading. */
  readonly reading: Reading;
  readonly wet: Reading | null;
  /** Figure for rules and limits, gauge kPa: the reading's final, or its level when cranking slowed at the end. */
  readonly finalKpa: number;
  /**
   * True when the last strokes of an open hose fell with the cranking speed. `finalKpa` is then not the reading's own
   * final.
   */
  readonly slowedAtEnd: boolean;
  /**
   * Natural logarithm of the level to compare with other cylinders: the highest that a dial would show. Not the
   * final, because a falling cranking speed lowers the last strokes of an open hose.
   */
  readonly lnLevel: number;
  /** Measurement uncertainty of `lnLevel`, standard deviation. */
  readonly lnLevelSd: number;
  /** ln(level / third stroke): the rise still missing after three strokes. `null` when not known. */
  readonly lag: number | null;
  /** Measurement uncertainty of `lag`, standard deviation: that of the third stroke. */
  readonly lagSd: number;
  /** ln(wet level / dry level). `null` without a wet reading. */
  readonly wetRise: number | null;
  /** Measurement uncertainty of `wetRise`, standard deviation. */
  readonly wetRiseSd: number;
}

/** Stroke of the lag: late enough that a part-filled first stroke and the starter's run-up are over. */
const LAG_STROKE = 3;

/** Final over level of an open hose below which the cranking slowed at the end. */
const SLOWED_BELOW = 0.95;

/** Typed strokes must go on after the third, since it is not known whether the needle would have risen further. */
const LEAST_TYPED_STROKES = 5;

/** True for hoses of one kind. An undetermined hose matches either. */
export function sameHose(a: Reading, b: Reading): boolean {
  return a.hose === b.hose || a.hose === 'undetermined' || b.hose === 'undetermined';
}

/** The last reading of a cylinder in a condition, which replaces earlier ones; `null` without one. */
export function latest(
  readings: readonly CylinderReading[],
  cylinder: number,
  condition: CylinderReading['condition'],
): Reading | null {
  return (
    readings.findLast((one) => one.cylinder === cylinder && one.condition === condition)?.reading ?? null
  );
}

/** The signature of a cylinder; `null` when its dry reading is missing or unusable. */
export function signatureOf(readings: readonly CylinderReading[], cylinder: number): Signature | null {
  const reading = latest(readings, cylinder, 'dry');
  if (reading === null || isUnusable(reading)) return null;
  const wetReading = latest(readings, cylinder, 'wet');
  // The two kinds of hose read differently, so wet and dry must share one.
  const wet =
    wetReading !== null && !isUnusable(wetReading) && sameHose(wetReading, reading) ? wetReading : null;
  const level = levelKpa(reading);
  const lnLevel = Math.log(level);
  const slowedAtEnd = reading.hose !== 'check-valve' && reading.finalKpa! < SLOWED_BELOW * level;
  return {
    cylinder,
    reading,
    wet,
    finalKpa: slowedAtEnd ? level : reading.finalKpa!,
    slowedAtEnd,
    lnLevel,
    lnLevelSd: levelSd(reading),
    ...lagOf(reading, lnLevel),
    wetRise: wet === null ? null : Math.log(levelKpa(wet)) - lnLevel,
    wetRiseSd: wet === null ? 0 : Math.hypot(levelSd(reading), levelSd(wet)),
  };
}

/**
 * Reading error of a dial by eye, as a share: half of a 5 psi mark on 180. The error of its scale is common to all
 * cylinders. Common practice, no source.
 */
const EYE_SD = 0.014;

/** `finalPlusMinusKpa` is half of a 95 % interval, taken as two standard deviations. */
function levelSd(reading: Reading): number {
  if (hasNotice(reading, 'typed-in')) return EYE_SD;
  return (reading.finalPlusMinusKpa ?? 0) / (2 * reading.finalKpa!);
}

/**
 * Level, gauge kPa: mean of the two highest full strokes, since one alone would follow the noise. At least 1 kPa, for
 * its logarithm.
 */
function levelKpa(reading: Reading): number {
  if (reading.hose === 'check-valve') return Math.max(reading.finalKpa!, 1);
  const peaks = reading.strokes
    .flatMap((stroke) => (stroke.partial || stroke.peakKpa === null ? [] : stroke.peakKpa))
    .sort((a, b) => b - a);
  const [highest, second] = peaks;
  if (highest === undefined || second === undefined) return reading.finalKpa!;
  return Math.max((highest + second) / 2, 1);
}

const NO_LAG = { lag: null, lagSd: 0 } as const;

function lagOf(reading: Reading, lnLevel: number): Pick<Signature, 'lag' | 'lagSd'> {
  const { strokes, hose } = reading;
  const enough = hasNotice(reading, 'typed-in')
    ? strokes.length >= LEAST_TYPED_STROKES
    : strokes.length > 0 && !hasNotice(reading, 'too-few-strokes');
  if (!enough) return NO_LAG;
  // A full check-valve hose shows no further steps, so nothing was missing after the last.
  if (hose === 'check-valve' && strokes.length < LAG_STROKE) return { lag: 0, lagSd: 0 };
  const third = strokes.find((stroke) => stroke.number === LAG_STROKE);
  if (third === undefined || third.partial || third.peakKpa === null || third.peakKpa <= 0) return NO_LAG;
  const lagSd = hasNotice(reading, 'typed-in') ? EYE_SD : third.peakPlusMinusKpa! / (2 * third.peakKpa);
  return { lag: lnLevel - Math.log(third.peakKpa), lagSd };
}

/** Cranking conditions common to the readings: median speed, and the hose of the majority. */
export function crankedLike(
  signatures: readonly Signature[],
  { cycle, decompressor, fuel, layout }: EngineFacts,
  ambientKpa: number | undefined,
): Cranked {
  const speeds = signatures.flatMap(({ reading }) => reading.crankingRpm ?? []);
  const open = signatures.filter(({ reading }) => reading.hose === 'open').length;
  const topRpm = cycle === 2 ? null : engineSigns(signatures).topRpm;
  return {
    ambientKpa,
    cycle,
    fuel,
    cylinders: cylindersOf(layout).length,
    decompressor,
    topRpm: topRpm ?? undefined,
    rpm: speeds.length === 0 ? undefined : median(speeds),
    hose: open > signatures.length / 2 ? 'open' : 'check-valve',
  };
}
