/** Judgement of a rotary engine: faces against each other, rotors against each other, and the manual at 250 rpm. */
import type { EngineFacts } from '../engine.ts';
import { asEvidence, type Evidence } from '../evidence.ts';
import type { Judgement, RotorJudgement, Suspect, TestConditions, Verdict } from '../judgement.ts';
import { cylindersOf } from '../layouts.ts';
import { correctToSeaLevel } from '../physics/standard-atmosphere.ts';
import type { CylinderReading } from '../reading.ts';
import { hasNotice } from '../reading-quality.ts';
import { type Lack, whatIsLacking } from './judge-lacks.ts';
import { betweenRotors, limitsOf } from './rotor-limits.ts';
import { faceDifferencePercent, facePattern, rotorOf } from './rotor-signature.ts';
import type { Breach } from './rules.ts';
import { latest, signatureOf } from './signature.ts';

/**
 * Confidence of the suspects. The author's own judgement, not calibrated: the pattern fits, but a dial or a trace does
 * not see the seal itself.
 */
const POSSIBLE = 0.6;

/**
 * Judges a rotary engine. No general rule applies: without the manual's minimum, faces and rotors are compared with each
 * other only, and no engine is called sound.
 */
export function judgeRotors(
  readings: readonly CylinderReading[],
  engine: EngineFacts,
  conditions: TestConditions = {},
): Judgement {
  const cylinders = [
    ...new Set([...cylindersOf(engine.layout), ...readings.map((one) => one.cylinder)]),
  ].sort((a, b) => a - b);
  const rotors = cylinders.flatMap((cylinder) => rotorOf(readings, cylinder) ?? []);
  const breaches = rotors.flatMap((rotor) =>
    limitsOf(
      rotor,
      engine,
      conditions.ambientKpa,
      latest(readings, rotor.cylinder, 'dry')?.sensorPlusMinusKpa ?? 0,
    ),
  );
  const between = rotors.length < 2 ? [] : betweenRotors(rotors, engine);
  const suspects = rotorSuspects(rotors, engine, readings, breaches);
  const lacks = lacksOf(readings, cylinders, rotors, engine);
  const verdicts = cylinders.map((cylinder) => {
    const own = [...breaches, ...between].filter((breach) => breach.cylinder === cylinder);
    const blamed = suspects.some((suspect) => suspect.cylinders.includes(cylinder));
    const lacking = lacks.filter((one) => one.stops && (one.cylinder === null || one.cylinder === cylinder));
    const finalKpa = latestFinal(readings, rotors, cylinder);
    const ambient = conditions.ambientKpa;
    return {
      cylinder,
      verdict: verdictOf(own, blamed, lacking.length > 0),
      finalKpa,
      seaLevelKpa: finalKpa === null || ambient === undefined ? null : correctToSeaLevel(finalKpa, ambient),
      reasons: [...own.map((breach) => breach.evidence), ...lacking.map((one) => one.evidence)],
    };
  });
  const finals = verdicts.flatMap(({ finalKpa }) => finalKpa ?? []);
  const highestKpa = finals.length === 0 ? null : Math.max(...finals);
  const lowestKpa = finals.length === 0 ? null : Math.min(...finals);
  const several = finals.length > 1 && highestKpa !== null && lowestKpa !== null;
  return {
    rule: 'manual',
    ruleSpreadKpa: engine.manual.spreadKpa ?? null,
    highestKpa,
    lowestKpa,
    spreadKpa: several ? highestKpa - lowestKpa : null,
    lowToHighRatio: several ? lowestKpa / highestKpa : null,
    verdict: worst(verdicts.map((one) => one.verdict)),
    reasons: [
      ...rotors.flatMap(patternEvidence),
      ...[...breaches, ...between].map((breach) => breach.evidence),
      ...lacks.map((one) => one.evidence),
    ],
    cylinders: verdicts,
    suspects,
    wetRetest: [],
    expected: null,
    ambientKpa: conditions.ambientKpa ?? null,
    rotors,
  };
}

const latestFinal = (
  readings: readonly CylinderReading[],
  rotors: readonly RotorJudgement[],
  cylinder: number,
) => (rotors.some((one) => one.cylinder === cylinder) ? latest(readings, cylinder, 'dry')!.finalKpa : null);

function verdictOf(own: readonly Breach[], blamed: boolean, lacking: boolean): Verdict {
  if (own.some(({ grade }) => grade === 'certain')) return 'fault';
  if (blamed || own.some(({ grade }) => grade === 'doubtful')) return 'watch';
  return lacking ? 'cannot-tell' : 'sound';
}

const worst = (verdicts: readonly Verdict[]): Verdict =>
  (['fault', 'watch', 'cannot-tell'] as const).find((one) => verdicts.includes(one)) ??
  (verdicts.length === 0 ? 'cannot-tell' : 'sound');

const PATTERN_CODES = {
  'two-low': 'rotor-two-faces-low',
  'one-low': 'rotor-one-face-low',
  unclear: 'rotor-faces-unclear',
  alike: 'rotor-faces-alike',
} as const;

function patternEvidence(rotor: RotorJudgement): Evidence[] {
  const { cylinder } = rotor;
  const pattern = facePattern(rotor);
  return pattern === 'unknown'
    ? [asEvidence('rotor-no-faces', { cylinder })]
    : [asEvidence(PATTERN_CODES[pattern], { cylinder, belowPercent: faceDifferencePercent(rotor) })];
}

/** Seals that the pattern of the faces points to, and all rotors below the manual. */
function rotorSuspects(
  rotors: readonly RotorJudgement[],
  { manual }: EngineFacts,
  readings: readonly CylinderReading[],
  breaches: readonly Breach[],
): Suspect[] {
  const seals = rotors.flatMap((rotor): Suspect[] => {
    const pattern = facePattern(rotor);
    if (pattern !== 'two-low' && pattern !== 'one-low') return [];
    return [
      {
        cause: pattern === 'two-low' ? 'apex-seal' : 'side-seal',
        cylinders: [rotor.cylinder],
        confidence: POSSIBLE,
        evidence: patternEvidence(rotor),
        against: [],
        nextStep: 'repeat-test',
      },
    ];
  });
  const highest = ({ faces, lowestAt250Kpa }: RotorJudgement) =>
    Math.max(lowestAt250Kpa, ...faces.map((face) => face.at250Kpa));
  const isAllLow =
    rotors.length > 0 &&
    manual.minKpa !== undefined &&
    rotors.every((rotor) => highest(rotor) < manual.minKpa!);
  if (!isAllLow) return seals;
  const isSlow = rotors.some(({ cylinder }) => {
    const reading = latest(readings, cylinder, 'dry')!;
    return hasNotice(reading, 'cranking-slow') || hasNotice(reading, 'cranking-below-usual');
  });
  const allLow: Suspect = {
    cause: 'all-low',
    cylinders: rotors.map((one) => one.cylinder),
    confidence: POSSIBLE,
    evidence: breaches
      .filter(({ evidence }) => evidence.code === 'rotor-below-min')
      .map((one) => one.evidence),
    against: [],
    nextStep: isSlow ? 'charge-battery-repeat' : 'ask-a-professional',
  };
  return [allLow, ...seals];
}

function lacksOf(
  readings: readonly CylinderReading[],
  cylinders: readonly number[],
  rotors: readonly RotorJudgement[],
  { manual }: EngineFacts,
): Lack[] {
  const signatures = cylinders.flatMap((cylinder) => signatureOf(readings, cylinder) ?? []);
  const lacks = whatIsLacking(readings, cylinders, signatures, null).filter(
    ({ evidence }) => evidence.code !== 'slowed-at-end',
  );
  if (manual.minKpa === undefined && rotors.length > 0)
    lacks.push({ cylinder: null, stops: true, evidence: asEvidence('rotor-no-manual', {}) });
  else if (rotors.some((rotor) => rotor.rpm === null))
    lacks.push({ cylinder: null, stops: false, evidence: asEvidence('rotor-speed-unknown', {}) });
  return lacks;
}
