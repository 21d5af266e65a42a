/** Breaches of the manual's figures for rotors, and rotors that are clearly apart. */
import type { EngineFacts } from '../engine.ts';
import { asEvidence } from '../evidence.ts';
import type { RotorJudgement } from '../judgement.ts';
import { correctToSeaLevel } from '../physics/standard-atmosphere.ts';
import { UNKNOWN_AIR_SHARE } from './judge-limits.ts';
import { ROTOR_RPM } from './rotor-speed.ts';
import type { Breach } from './rules.ts';

/** Rotors that differ by less than this share are alike. The author's own figure. */
const ROTORS_ALIKE = 0.1;
/** Pressure that cranking at 210 instead of 250 rpm takes off: allowed for where the speed is not known. */
const UNKNOWN_SPEED_SHARE = 0.14;
const atSpeed = ({ rpm }: RotorJudgement) => (rpm === null ? {} : { atRpm: ROTOR_RPM });

/**
 * The manual's minimum for the lowest face and its difference between faces. `sensorPlusMinusKpa`: the sensor's own error, 0
 * when not known.
 */
export function limitsOf(
  rotor: RotorJudgement,
  { manual }: EngineFacts,
  ambientKpa: number | undefined,
  sensorPlusMinusKpa: number,
): Breach[] {
  const { cylinder, lowestAt250Kpa, lowestAt250PlusMinusKpa } = rotor;
  const found: Breach[] = [];
  const atSeaLevel = (kpa: number) => (ambientKpa === undefined ? kpa : correctToSeaLevel(kpa, ambientKpa));
  const finalKpa = atSeaLevel(lowestAt250Kpa);
  if (manual.minKpa !== undefined && finalKpa < manual.minKpa) {
    const mostKpa =
      atSeaLevel(lowestAt250Kpa + Math.hypot(lowestAt250PlusMinusKpa, sensorPlusMinusKpa)) *
      (ambientKpa === undefined ? 1 + UNKNOWN_AIR_SHARE : 1) *
      (rotor.rpm === null ? 1 + UNKNOWN_SPEED_SHARE : 1);
    found.push({
      cylinder,
      grade: mostKpa < manual.minKpa ? 'certain' : 'doubtful',
      evidence: asEvidence('rotor-below-min', {
        cylinder,
        finalKpa,
        minKpa: manual.minKpa,
        ...atSpeed(rotor),
      }),
    });
  }
  const differenceKpa = rotor.faceSpreadAt250Kpa;
  const limitKpa = manual.faceSpreadKpa;
  if (differenceKpa !== null && limitKpa !== undefined && differenceKpa > limitKpa) {
    const doubtKpa = Math.hypot(...rotor.faces.map((face) => face.plusMinusKpa));
    found.push({
      cylinder,
      grade: differenceKpa - doubtKpa > limitKpa ? 'certain' : 'doubtful',
      evidence: asEvidence('rotor-face-spread', { cylinder, differenceKpa, limitKpa }),
    });
  }
  return found;
}

/** The lowest rotor against the highest: the manual's difference, else a remark where they are clearly apart. */
export function betweenRotors(rotors: readonly RotorJudgement[], { manual }: EngineFacts): Breach[] {
  const sorted = rotors.toSorted((a, b) => a.lowestAt250Kpa - b.lowestAt250Kpa);
  const low = sorted[0]!;
  const high = sorted.at(-1)!;
  const differenceKpa = high.lowestAt250Kpa - low.lowestAt250Kpa;
  const doubtKpa = Math.hypot(low.lowestAt250PlusMinusKpa, high.lowestAt250PlusMinusKpa);
  const values = {
    cylinder: low.cylinder,
    other: high.cylinder,
    differenceKpa,
    ...(high.rpm !== null && atSpeed(low)),
  };
  if (manual.spreadKpa !== undefined) {
    if (differenceKpa <= manual.spreadKpa) return [];
    return [
      {
        cylinder: low.cylinder,
        grade: differenceKpa - doubtKpa > manual.spreadKpa ? 'certain' : 'doubtful',
        evidence: asEvidence('rotor-spread', { ...values, limitKpa: manual.spreadKpa }),
      },
    ];
  }
  return differenceKpa > Math.max(doubtKpa, ROTORS_ALIKE * high.lowestAt250Kpa)
    ? [{ cylinder: low.cylinder, grade: 'doubtful', evidence: asEvidence('rotor-lower', values) }]
    : [];
}
