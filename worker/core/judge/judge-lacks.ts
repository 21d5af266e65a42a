import type { Evidence } from '../judgement.ts';
import type { CylinderReading } from '../reading.ts';
import { isUnusable } from '../reading-quality.ts';
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
  const of = (cylinder: number, stops: boolean, code: string, detail: string, values = {}) =>
    lacks.push({
      cylinder,
      stops,
      evidence: { code, values: { cylinder, ...values }, detail: `Cylinder ${cylinder} ${detail}` },
    });
  const ofAll = (stops: boolean, code: string, detail: string) =>
    lacks.push({ cylinder: null, stops, evidence: { code, values: {}, detail } });

  for (const cylinder of cylinders) {
    if (signatures.some((one) => one.cylinder === cylinder)) continue;
    const reading = latest(readings, cylinder, 'dry');
    if (reading !== null && isUnusable(reading))
      of(cylinder, true, 'reading-unusable', 'has a reading that cannot be trusted: measure it again.');
    else of(cylinder, true, 'reading-missing', 'has no dry reading.');
  }
  const faint = signatures.filter(({ finalKpa }) => finalKpa < NEXT_TO_NOTHING_KPA);
  for (const { cylinder, finalKpa } of faint) {
    const detail = 'hardly raised the gauge: try the adapter on a good one.';
    of(cylinder, faint.length === signatures.length, 'next-to-nothing', detail, { finalKpa });
  }
  for (const { cylinder, finalKpa, reading } of signatures.filter((one) => one.slowedAtEnd)) {
    const detail = `is judged by its highest strokes, ${finalKpa.toFixed(0)} kPa: the last ones fell as cranking slowed.`;
    of(cylinder, false, 'slowed-at-end', detail, { finalKpa, readingKpa: reading.finalKpa! });
  }
  if (signatures.some((one) => !sameHose(one.reading, signatures[0]!.reading))) {
    ofAll(
      false,
      'hoses-mixed',
      'Open and check-valve hoses were mixed: they read a few per cent apart by themselves.',
    );
  }
  if (levelKnown === false) {
    if (signatures.length < 2)
      ofAll(
        true,
        'nothing-to-compare',
        'One cylinder alone, without the manual or the compression ratio, has nothing to be compared with.',
      );
    else
      ofAll(
        false,
        'level-not-known',
        'Without the manual or the compression ratio the cylinders are compared with each other only.',
      );
  }
  return lacks;
}
