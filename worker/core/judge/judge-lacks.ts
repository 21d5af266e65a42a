import { asEvidence, type Evidence } from '../evidence.ts';
import type { CylinderReading, Reading } from '../reading.ts';
import { hasNotice, isUnusable } from '../reading-quality.ts';
import { latest, type Signature, sameHose } from './signature.ts';

/** Something the test does not say. `stops` when no engine can be called sound without it. */
export interface Lack {
  readonly cylinder: number | null;
  readonly stops: boolean;
  readonly evidence: Evidence;
}

/** A figure this low may as well be an adapter that does not seal (common practice, no source), gauge kPa. */
const NEXT_TO_NOTHING_KPA = 35;

/** `levelKnown`: whether anything but the other cylinders tells what one should read; `null` where nothing is suspected at all. */
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

function lackOf(reading: Reading | null) {
  if (reading === null) return 'reading-missing';
  if (hasNotice(reading, 'analysis-failed')) return 'reading-not-analysed';
  return isUnusable(reading) ? 'reading-unusable' : 'reading-missing';
}
