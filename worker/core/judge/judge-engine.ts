import { type EngineFacts, isRotary } from '../engine.ts';
import { asEvidence } from '../evidence.ts';
import type { CylinderVerdict, Judgement, Suspect, TestConditions, Verdict } from '../judgement.ts';
import { cylindersOf } from '../layouts.ts';
import { expectedCranking } from '../physics/expected.ts';
import { correctToSeaLevel } from '../physics/standard-atmosphere.ts';
import { expectableGeometry, hasRelease, twoStrokeRatio } from '../physics/stated-ratio.ts';
import type { CylinderReading } from '../reading.ts';
import { hasNotice } from '../reading-quality.ts';
import type { RuleChoice } from '../rule.ts';
import { isLeak } from './faults.ts';
import { type Lack, lowWithoutWitness, whatIsLacking } from './judge-lacks.ts';
import { isMaximumDoubtful, limitBreaches } from './judge-limits.ts';
import { rigSuspects, shareOfBlame } from './judge-rig.ts';
import { judgeRotors } from './judge-rotors.ts';
import { withPlugs } from './plug-evidence.ts';
import { type Breach, type Level, ruleInForce, spreadBreaches } from './rules.ts';
import { crankedLike, type Signature, signatureOf } from './signature.ts';
import { suspectsOf } from './suspects.ts';

/** Least total confidence of a leak for which a wet test is worth the effort. */
const RETEST_FROM = 0.3;

/** Least confidence at which a suspect alone gives the verdict `watch`. */
const WATCH_FROM = 0.5;

/**
 * Judges one engine test from the latest dry reading of every cylinder, and wet ones where there are any. Pure; the
 * order of cylinders does not matter. Missing or unusable data are listed in `reasons`. Model: README.md.
 */
export function judgeEngine(
  readings: readonly CylinderReading[],
  stated: EngineFacts,
  rule: RuleChoice,
  conditions: TestConditions = {},
): Judgement {
  if (isRotary(stated)) return judgeRotors(readings, stated, conditions);
  const isReleased = hasRelease(stated);
  // Without the manual, a release alone explains a low level; only a difference between cylinders says more.
  const isReleaseAlone = isReleased && stated.manual.minKpa === undefined;
  const planned = cylindersOf(stated.layout);
  const cylinders = [...new Set([...planned, ...readings.map((one) => one.cylinder)])].sort((a, b) => a - b);
  const signatures = cylinders.flatMap((cylinder) => signatureOf(readings, cylinder) ?? []);
  const levels = signatures.map(levelOf);
  const twoStroke = twoStrokeRatio(stated);
  const cranked = crankedLike(signatures, stated, conditions.ambientKpa);
  const expected = expectedCranking(expectableGeometry(stated), cranked);
  const doubted = isMaximumDoubtful(stated.manual, expected, conditions.ambientKpa);
  const engine = doubted ? { ...stated, manual: { ...stated.manual, maxKpa: undefined } } : stated;
  const inForce = ruleInForce(rule, engine.manual);
  const breaches = [
    ...spreadBreaches(levels, inForce),
    ...limitBreaches(signatures, engine, expected, conditions.ambientKpa),
  ];
  const suspicion = signatures.length === 0 ? null : suspectsOf(signatures, engine, conditions, cranked);
  const rig = rigSuspects(signatures);
  const suspects = [
    ...rig,
    ...(suspicion?.suspects ?? [])
      .filter(({ cause }) => !(isReleaseAlone && (cause === 'all-low' || signatures.length === 1)))
      .flatMap((suspect) => shareOfBlame(suspect, rig, signatures))
      .map((suspect) => withinDoubt(suspect, signatures)),
  ].sort((a, b) => b.confidence - a.confidence);
  const lacking = [
    ...whatIsLacking(readings, cylinders, signatures, suspicion?.levelKnown ?? null),
    ...lowWithoutWitness(signatures, engine, expected),
  ];
  const verdicts = cylinders.map((cylinder) =>
    judgeCylinder(cylinder, signatures, breaches, suspects, lacking, conditions),
  );
  const verdict = engineVerdict(verdicts, suspects, lacking);
  // Without a doubtful breach the first suspect is the reason.
  const suspicious =
    verdict === 'watch' && !breaches.some(({ grade }) => grade === 'doubtful') ? suspects[0] : undefined;
  const highestKpa = levels.length === 0 ? null : Math.max(...levels.map((level) => level.finalKpa));
  const lowestKpa = levels.length === 0 ? null : Math.min(...levels.map((level) => level.finalKpa));
  const several = levels.length > 1 && highestKpa !== null && lowestKpa !== null;
  return {
    rule: inForce.code,
    ruleSpreadKpa: inForce.spreadKpa,
    highestKpa,
    lowestKpa,
    spreadKpa: several ? highestKpa - lowestKpa : null,
    lowToHighRatio: several ? lowestKpa / highestKpa : null,
    verdict,
    reasons: [
      ...(suspicious?.evidence.slice(0, 1) ?? []),
      ...breaches.map((breach) => breach.evidence),
      ...lacking
        .map((one) => one.evidence)
        // They ask for the compression ratio, which would not help.
        .filter(({ code }) => !isReleased || (code !== 'nothing-to-compare' && code !== 'level-not-known')),
      ...(doubted && expected !== null
        ? [
            asEvidence('manual-max-may-be-min', {
              maxKpa: stated.manual.maxKpa!,
              lowKpa: expected.lowKpa,
              highKpa: expected.highKpa,
              ratio: stated.geometry.compressionRatio!,
            }),
          ]
        : []),
      ...(isReleased ? [asEvidence('compression-release', {})] : []),
    ],
    cylinders: verdicts,
    suspects: withPlugs(suspects, conditions.plugs ?? []).map((one) => withinDial(one, signatures)),
    wetRetest: wetRetest(signatures, engine, breaches, suspects),
    expected,
    ...(expected && twoStroke && { twoStroke }),
    ambientKpa: conditions.ambientKpa ?? null,
  };
}

/**
 * Plus-minus, as a share of the figure, above which a suspect is at most possible; and the confidence that is then
 * the limit.
 */
const MOST_UNSURE = 0.1;
const POSSIBLE = 0.6;

/**
 * Limits a suspect's confidence where a plus-minus exceeds a tenth of its figure. A final that still climbs has a wide plus-minus,
 * and the slow build-up is the evidence of worn rings: of 67 such suspects of the simulator's family 67 were true.
 */
function withinDoubt(suspect: Suspect, signatures: readonly Signature[]): Suspect {
  const isUnsure = signatures.some(
    ({ cylinder, reading }) =>
      suspect.cylinders.includes(cylinder) &&
      !(suspect.cause === 'ring-wear' && reading.buildUp === 'slow') &&
      (reading.finalPlusMinusKpa ?? 0) > MOST_UNSURE * (reading.finalKpa ?? 0),
  );
  return isUnsure ? { ...suspect, confidence: Math.min(suspect.confidence, POSSIBLE) } : suspect;
}

/**
 * Limit of the confidence from typed figures. They have no trace by which a poor reading would show, and the model was
 * calibrated on traces. The author's own judgement.
 */
const MOST_TYPED = 0.85;

/** Limits a suspect's confidence where a reading was typed from a dial, dry or wet. */
function withinDial(suspect: Suspect, signatures: readonly Signature[]): Suspect {
  const isTyped = signatures.some(
    ({ cylinder, reading, wet }) =>
      suspect.cylinders.includes(cylinder) &&
      [reading, wet].some((one) => one !== null && hasNotice(one, 'typed-in')),
  );
  return isTyped ? { ...suspect, confidence: Math.min(suspect.confidence, MOST_TYPED) } : suspect;
}

/**
 * The rules were written for dial gauges, so typed figures count as exact; the error of a dial's scale cancels
 * between cylinders.
 */
const levelOf = ({ cylinder, finalKpa, reading }: Signature): Level => ({
  cylinder,
  finalKpa,
  plusMinusKpa: hasNotice(reading, 'typed-in') ? 0 : (reading.finalPlusMinusKpa ?? 0),
});

function judgeCylinder(
  cylinder: number,
  signatures: readonly Signature[],
  breaches: readonly Breach[],
  suspects: readonly Suspect[],
  lacking: readonly Lack[],
  { ambientKpa }: TestConditions,
): CylinderVerdict {
  const signature = signatures.find((one) => one.cylinder === cylinder);
  const own = breaches.filter((breach) => breach.cylinder === cylinder);
  const blamed = suspects.filter((suspect) => suspect.cylinders.includes(cylinder));
  const lacks = lacking.filter((one) => one.cylinder === cylinder || (one.cylinder === null && one.stops));
  const finalKpa = signature?.finalKpa ?? null;
  return {
    cylinder,
    verdict: cylinderVerdict(own, blamed, lacks),
    finalKpa,
    seaLevelKpa:
      finalKpa === null || ambientKpa === undefined ? null : correctToSeaLevel(finalKpa, ambientKpa),
    reasons: [...own.map((breach) => breach.evidence), ...lacks.map((one) => one.evidence)],
  };
}

function cylinderVerdict(
  breaches: readonly Breach[],
  blamed: readonly Suspect[],
  lacks: readonly Lack[],
): Verdict {
  if (blamed.some((suspect) => suspect.cause === 'rig-leak')) return 'cannot-tell';
  if (breaches.some(({ grade }) => grade === 'certain')) return 'fault';
  if (lacks.some((one) => one.stops)) return 'cannot-tell';
  // Several causes may share the probability, each of them unlikely alone.
  const total = blamed.reduce((sum, suspect) => sum + suspect.confidence, 0);
  return breaches.some(({ grade }) => grade === 'doubtful') || total >= WATCH_FROM ? 'watch' : 'sound';
}

/**
 * Verdict on the engine: the worst of its cylinders. A leaking rig precedes all; missing data precede only `sound`.
 */
function engineVerdict(
  cylinders: readonly CylinderVerdict[],
  suspects: readonly Suspect[],
  lacking: readonly Lack[],
): Verdict {
  const some = (verdict: Verdict): boolean => cylinders.some((one) => one.verdict === verdict);
  const rigLeaks = suspects.some((one) => one.cause === 'rig-leak' && one.confidence >= WATCH_FROM);
  if (cylinders.length === 0 || rigLeaks) return 'cannot-tell';
  if (some('fault')) return 'fault';
  if (some('watch')) return 'watch';
  return lacking.some((one) => one.stops) ? 'cannot-tell' : 'sound';
}

/** Low cylinders without a wet reading, whose cause a wet test would distinguish. Empty for a diesel. */
function wetRetest(
  signatures: readonly Signature[],
  engine: EngineFacts,
  breaches: readonly Breach[],
  suspects: readonly Suspect[],
): number[] {
  if (engine.fuel === 'diesel') return [];
  const leaks = suspects.filter((one) => isLeak(one.cause));
  return signatures
    .filter(({ cylinder, wet }) => {
      if (wet !== null) return false;
      const blame = leaks
        .filter((suspect) => suspect.cylinders.includes(cylinder))
        .reduce((sum, suspect) => sum + suspect.confidence, 0);
      return (
        blame >= RETEST_FROM || breaches.some((one) => one.cylinder === cylinder && one.grade === 'certain')
      );
    })
    .map(({ cylinder }) => cylinder);
}
