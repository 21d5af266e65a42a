import type { EngineFacts } from '../engine.ts';
import { asEvidence, type Evidence } from '../evidence.ts';
import type { ExpectedPressure } from '../physics/expected.ts';
import type { CylinderReading, Reading } from '../reading.ts';
import { hasNotice, isUnusable } from '../reading-quality.ts';
import type { Breach } from './rules.ts';
import { latest, type Signature, sameHose } from './signature.ts';

/**
 * Missing or doubtful data. `cylinder` is `null` when it concerns the engine. `stops`: without it no engine is called
 * sound.
 */
export interface Lack {
  readonly cylinder: number | null;
  readonly stops: boolean;
  readonly evidence: Evidence;
}

/** Below this an adapter that does not seal would read the same (common practice, no source), gauge kPa. */
export const NEXT_TO_NOTHING_KPA = 35;

/**
 * Lists what the test lacks. `levelKnown`: whether manual or geometry gives the level of a sound cylinder; `null`
 * without signatures.
 */
export function whatIsLacking(
  readings: readonly CylinderReading[],
  cylinders: readonly number[],
  signatures: readonly Signature[],
  levelKnown: boolean | null,
): Lack[] {
  const lacks: Lack[] = [];
  const lack = (cylinder: number | null, stops: boolean, evidence: Evidence) =>
    lacks.push({ cylinder, stops, evidence });

  for (const cylinder of cylinders) {
    if (signatures.some((one) => one.cylinder === cylinder)) continue;
    const reading = latest(readings, cylinder, 'dry');
    lack(cylinder, true, asEvidence(lackOf(reading), { cylinder }));
  }
  const faint = signatures.filter(({ finalKpa }) => finalKpa < NEXT_TO_NOTHING_KPA);
  for (const { cylinder, finalKpa } of faint) {
    lack(cylinder, faint.length === signatures.length, asEvidence('next-to-nothing', { cylinder, finalKpa }));
  }
  for (const { cylinder, finalKpa, reading } of signatures.filter((one) => one.slowedAtEnd)) {
    lack(cylinder, false, asEvidence('slowed-at-end', { cylinder, finalKpa, readingKpa: reading.finalKpa! }));
  }
  if (signatures.some((one) => !sameHose(one.reading, signatures[0]!.reading))) {
    lack(null, false, asEvidence('hoses-mixed', {}));
  }
  if (levelKnown === false) {
    const isAlone = signatures.length < 2;
    lack(null, isAlone, asEvidence(isAlone ? 'nothing-to-compare' : 'level-not-known', {}));
  }
  return lacks;
}

/**
 * Low cylinders of an engine whose geometry cannot call them low (`canTellLow`) and whose manual is not known: neither sound nor
 * faulty.
 */
export function lowWithoutWitness(
  signatures: readonly Signature[],
  { geometry: { compressionRatio: ratio }, manual: { minKpa } }: EngineFacts,
  expected: ExpectedPressure | null,
): Lack[] {
  if (expected === null || expected.canTellLow || ratio === undefined || minKpa !== undefined) return [];
  const { lowKpa, highKpa } = expected;
  return signatures
    .filter(({ finalKpa }) => finalKpa < lowKpa)
    .map(({ cylinder, finalKpa }) => ({
      cylinder,
      stops: true,
      evidence: asEvidence('low-or-released', { cylinder, finalKpa, lowKpa, highKpa, ratio }),
    }));
}

/** What would tell whether readings below the manual's minimum are low: a hose as the maker's, or the barometer. */
export function notComparable(
  breaches: readonly Breach[],
  signatures: readonly Signature[],
  ambientKpa: number | undefined,
): Lack[] {
  const some = signatures.filter(({ cylinder }) =>
    breaches.some((one) => one.cylinder === cylinder && one.grade === 'incomparable'),
  );
  if (some.length === 0) return [];
  const isOpen = some.some(({ reading }) => reading.hose === 'open' && !hasNotice(reading, 'typed-in'));
  const lack = (code: 'minimum-on-open-hose' | 'minimum-without-barometer'): Lack => ({
    cylinder: null,
    stops: false,
    evidence: asEvidence(code, {}),
  });
  return [
    ...(isOpen ? [lack('minimum-on-open-hose')] : []),
    ...(ambientKpa === undefined ? [lack('minimum-without-barometer')] : []),
  ];
}

function lackOf(reading: Reading | null) {
  if (reading === null) return 'reading-missing';
  if (hasNotice(reading, 'analysis-failed')) return 'reading-not-analysed';
  return isUnusable(reading) ? 'reading-unusable' : 'reading-missing';
}
