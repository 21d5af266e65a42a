import type { RotorJudgement } from '../judgement.ts';
import type { CylinderReading } from '../reading.ts';
import { isUnusable } from '../reading-quality.ts';
import { atRotorSpeed, speedCorrection } from './rotor-speed.ts';
import { latest } from './signature.ts';

/**
 * Faces of a sound rotor differ by less than this share of the highest. The author's own figure; the manual's allowed
 * difference is checked besides.
 */
const ALIKE_SHARE = 0.08;
/** Two faces count as a pair when they differ by less than this share of their distance to the third. */
const PAIR_SHARE = 0.4;

/** What the three faces of a rotor look like beside each other. */
export type FacePattern =
  /** One figure only. */
  | 'unknown'
  | 'alike'
  /** Two low alike: the apex seal between them serves both. */
  | 'two-low'
  /** One low: seals of that face alone. */
  | 'one-low'
  | 'unclear';

/** One rotor's dry reading, at 250 rpm where its speed is known; `null` when missing or unusable. */
export function rotorOf(readings: readonly CylinderReading[], cylinder: number): RotorJudgement | null {
  const reading = latest(readings, cylinder, 'dry');
  if (reading === null || isUnusable(reading)) return null;
  const correction = speedCorrection(reading.crankingRpm);
  const faces = (reading.faces ?? []).flatMap(({ face, peakKpa, plusMinusKpa }) => {
    if (peakKpa === null) return [];
    const own = plusMinusKpa ?? 0;
    const corrected = atRotorSpeed(peakKpa, own, correction);
    return {
      face,
      peakKpa,
      plusMinusKpa: own,
      at250Kpa: corrected.kpa,
      at250PlusMinusKpa: corrected.plusMinusKpa,
    };
  });
  const lowest = atRotorSpeed(reading.finalKpa!, reading.finalPlusMinusKpa ?? 0, correction);
  const at250 = faces.map((face) => face.at250Kpa);
  return {
    cylinder,
    rpm: reading.crankingRpm,
    speedFactor: correction?.factor ?? null,
    faces,
    lowestAt250Kpa: lowest.kpa,
    lowestAt250PlusMinusKpa: lowest.plusMinusKpa,
    faceSpreadAt250Kpa: faces.length < 3 ? null : Math.max(...at250) - Math.min(...at250),
  };
}

/**
 * Pattern of the faces. A difference counts when it exceeds `ALIKE_SHARE` and the plus-minus of both faces; the speed
 * is common to them, so its correction is no part of that.
 */
export function facePattern({ faces }: RotorJudgement): FacePattern {
  if (faces.length < 3) return 'unknown';
  const [low, middle, high] = faces.toSorted((a, b) => a.peakKpa - b.peakKpa) as [Face, Face, Face];
  const doubtKpa = Math.hypot(low.plusMinusKpa, high.plusMinusKpa);
  const spanKpa = high.peakKpa - low.peakKpa;
  if (spanKpa < Math.max(doubtKpa, ALIKE_SHARE * high.peakKpa)) return 'alike';
  if (middle.peakKpa - low.peakKpa < PAIR_SHARE * (high.peakKpa - middle.peakKpa)) return 'two-low';
  if (high.peakKpa - middle.peakKpa < PAIR_SHARE * (middle.peakKpa - low.peakKpa)) return 'one-low';
  return 'unclear';
}

type Face = RotorJudgement['faces'][number];

/** Per cent by which the low faces read below the high ones. */
export function faceDifferencePercent({ faces }: RotorJudgement): number {
  const peaks = faces.map((face) => face.peakKpa);
  return 100 * (1 - Math.min(...peaks) / Math.max(...peaks));
}
