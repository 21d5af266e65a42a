import type { Cranked } from '../physics/expected.ts';
import type { CylinderReading, Reading } from '../reading.ts';
import { hasNotice, isUnusable } from '../reading-quality.ts';
import { median } from '../statistics.ts';

/** What the judgement takes from one cylinder's readings. */
export interface Signature {
  readonly cylinder: number;
  /** The dry reading. */
  readonly reading: Reading;
  readonly wet: Reading | null;
  /** The figure for rules and limits, gauge kPa: the reading's final, or its level when cranking slowed at the end. */
  readonly finalKpa: number;
  /** The last strokes of an open hose fell with the cranking speed, so that `finalKpa` is not the reading's own final. */
  readonly slowedAtEnd: boolean;
  /**
   * Natural logarithm of the level to compare with other cylinders: what a dial would show at its highest. The highest
   * stroke, not the final: cranking that sags pulls the last strokes of an open hose down.
   */
  readonly lnLevel: number;
  /** Standard deviation of `lnLevel` from the measuring itself. */
  readonly lnLevelSd: number;
  /** ln(level / third stroke): how much was still missing after three strokes. `null` when it cannot be told. */
  readonly lag: number | null;
  /** Standard deviation of `lag` from the measuring itself: that of the third stroke. */
  readonly lagSd: number;
  /** ln(wet level / dry level). `null` without a wet reading. */
  readonly wetRise: number | null;
  /** Standard deviation of `wetRise` from the measuring itself. */
  readonly wetRiseSd: number;
}

/** Lag is read at this stroke: late enough that a part-filled first stroke and the starter's run-up are over. */
const LAG_STROKE = 3;

/** An open hose's final this far below its highest strokes is the starter letting go, not the cylinder. */
const SLOWED_BELOW = 0.95;

/** Nobody says whether a needle would have climbed further: typed strokes must go on after the third. */
const LEAST_TYPED_STROKES = 5;

/** An undetermined hose is taken for the same. */
export function sameHose(a: Reading, b: Reading): boolean {
  return a.hose === b.hose || a.hose === 'undetermined' || b.hose === 'undetermined';
}

/** The last reading of a cylinder in a condition counts: a retake replaces the one before. */
export function latest(
  readings: readonly CylinderReading[],
  cylinder: number,
  condition: CylinderReading['condition'],
): Reading | null {
  return (
    readings.findLast((one) => one.cylinder === cylinder && one.condition === condition)?.reading ?? null
  );
}

/** The signature of a cylinder, or `null` when its dry reading is missing or unusable. */
export function signatureOf(readings: readonly CylinderReading[], cylinder: number): Signature | null {
  const reading = latest(readings, cylinder, 'dry');
  if (reading === null || isUnusable(reading)) return null;
  const wetReading = latest(readings, cylinder, 'wet');
  // Two kinds of hose read differently by themselves.
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
 * A dial's own scale shows in all cylinders alike, so only the eye is left: half of a 5 psi mark on 180. Common practice, no
 * source.
 */
const EYE_SD = 0.014;

/** `finalPlusMinusKpa` is half of a 95 % interval: two standard deviations. */
function levelSd(reading: Reading): number {
  if (hasNotice(reading, 'typed-in')) return EYE_SD;
  return (reading.finalPlusMinusKpa ?? 0) / (2 * reading.finalKpa!);
}

/** Mean of the two highest full strokes: the top of one alone would follow the noise. At least 1 kPa, for its logarithm. */
function levelKpa(reading: Reading): number {
  if (reading.hose === 'check-valve') return Math.max(reading.finalKpa!, 1);
  const peaks = reading.strokes
    .flatMap((stroke) => (stroke.partial || stroke.peakKpa === null ? [] : stroke.peakKpa))
    .sort((a, b) => b - a);
  const [highest, second] = peaks;
  if (highest === undefined || second === undefined) return reading.finalKpa!;
  return Math.max((highest + second) / 2, 1);
}

const UNTOLD = { lag: null, lagSd: 0 } as const;

function lagOf(reading: Reading, lnLevel: number): Pick<Signature, 'lag' | 'lagSd'> {
  const { strokes, hose } = reading;
  const enough = hasNotice(reading, 'typed-in')
    ? strokes.length >= LEAST_TYPED_STROKES
    : strokes.length > 0 && !hasNotice(reading, 'too-few-strokes');
  if (!enough) return UNTOLD;
  // A check-valve hose shows no more steps once it has filled: nothing was missing after the last of them.
  if (hose === 'check-valve' && strokes.length < LAG_STROKE) return { lag: 0, lagSd: 0 };
  const third = strokes.find((stroke) => stroke.number === LAG_STROKE);
  if (third === undefined || third.partial || third.peakKpa === null || third.peakKpa <= 0) return UNTOLD;
  const lagSd = hasNotice(reading, 'typed-in') ? EYE_SD : third.peakPlusMinusKpa! / (2 * third.peakKpa);
  return { lag: lnLevel - Math.log(third.peakKpa), lagSd };
}

/** Speed and rig that most readings have, for what to expect of them. */
export function crankedLike(signatures: readonly Signature[], ambientKpa: number | undefined): Cranked {
  const speeds = signatures.flatMap(({ reading }) => reading.crankingRpm ?? []);
  const open = signatures.filter(({ reading }) => reading.hose === 'open').length;
  return {
    ambientKpa,
    rpm: speeds.length === 0 ? undefined : median(speeds),
    hose: open > signatures.length / 2 ? 'open' : 'check-valve',
  };
}
