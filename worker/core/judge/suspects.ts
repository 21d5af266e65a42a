/** Suspects of one engine: every cause of sufficient probability, with evidence and next step. */
import type { EngineFacts } from '../engine.ts';
import type { Evidence } from '../evidence.ts';
import type { NextStep, Suspect, TestConditions } from '../judgement.ts';
import { neighboursOf } from '../layouts.ts';
import { type Cranked, expectedCranking } from '../physics/expected.ts';
import { expectableGeometry } from '../physics/stated-ratio.ts';
import { type Explanation, engineSigns } from './engine-signs.ts';
import { type CylinderFault, PAIR_FAULTS, SINGLE_FAULTS, traitsOf } from './faults.ts';
import { NEXT_TO_NOTHING_KPA } from './judge-lacks.ts';
import { withinGeometry } from './second-witness.ts';
import type { Signature } from './signature.ts';
import { allLowSuspect } from './suspect-all-low.ts';
import { calibrated, MOST_CONFIDENCE } from './suspect-calibration.ts';
import { type Company, evidenceFor } from './suspect-evidence.ts';
import { EXPLANATIONS, levelPrior } from './suspect-level.ts';
import { ALL_LOW_PRIOR_ODDS, EXPLANATION_SHARE } from './suspect-model.ts';
import { type Weighing, weighFaults } from './suspect-odds.ts';

/** Least confidence of a suspect that is shown. */
const LEAST_CONFIDENCE = 0.1;

/** Suspects and the posterior behind them. */
export interface Suspicion {
  readonly suspects: readonly Suspect[];
  readonly weighing: Weighing;
  /** True when manual or geometry gives the level to expect. */
  readonly levelKnown: boolean;
}

/** Suspects, most likely first. `signatures` must not be empty. */
export function suspectsOf(
  signatures: readonly Signature[],
  engine: EngineFacts,
  conditions: TestConditions,
  cranked: Cranked,
): Suspicion {
  // Sentences name the ratio as stated; pressures follow from the ratio over the whole stroke.
  const geometry = expectableGeometry(engine);
  const signs = engineSigns(signatures);
  const prior = levelPrior({ ...engine, geometry }, cranked, signs);
  const expected = expectedCranking(geometry, cranked);
  const neighbours = neighboursOf(engine.layout);
  const weighing = weighFaults(signatures, neighbours, prior);
  const company: Company = {
    signatures,
    lnCommon: weighing.lnCommon,
    manualMaxKpa: engine.manual.maxKpa,
  };
  const suspect = (fault: CylinderFault, cylinders: readonly number[], confidence: number): Suspect => {
    const suspected = signatures.filter((one) => cylinders.includes(one.cylinder));
    const { evidence, against } = evidenceFor(fault, suspected, company);
    return {
      cause: fault,
      cylinders,
      confidence,
      evidence,
      against,
      nextStep: nextStepFor(fault, suspected, against, engine, weighing.lnCommon),
    };
  };
  const singles = SINGLE_FAULTS.flatMap((fault) =>
    grouped(fault, signatures, weighing).map(([cylinders, p]) => suspect(fault, cylinders, p)),
  );
  const gaskets = neighbours.flatMap((pair) => {
    if (!pair.every((cylinder) => signatures.some((one) => one.cylinder === cylinder))) return [];
    return PAIR_FAULTS.flatMap((fault) => {
      const p = calibrated(weighing.probability(fault, pair));
      return p < LEAST_CONFIDENCE ? [] : [suspect(fault, pair, p)];
    });
  });
  const pAllLow = Math.min(weighing.allLow, MOST_CONFIDENCE);
  // Where nothing measured speaks for it, the prior alone would name it for every engine. A gauge that hardly moves is another matter.
  const isSpokenFor =
    isRaised(weighing) && signatures.some(({ finalKpa }) => finalKpa >= NEXT_TO_NOTHING_KPA);
  const allLow =
    pAllLow < LEAST_CONFIDENCE || !isSpokenFor
      ? []
      : [
          allLowSuspect(signatures, engine, conditions, {
            confidence: pAllLow,
            lnCommon: weighing.lnCommon,
            expected,
            signs,
            cranked,
            explanations: weighing.explanations,
          }),
        ];
  const levelKpa = signatures.length === 1 ? signatures[0]!.finalKpa : Math.exp(weighing.lnCommon);
  const named = [...singles, ...gaskets, ...allLow];
  return {
    suspects: withinGeometry(named, levelKpa, engine, conditions, signatures).sort(
      (a, b) => b.confidence - a.confidence,
    ),
    weighing,
    levelKnown: prior.informed,
  };
}

/** Whether level or signs raise an explanation of a low engine above its prior. */
const isRaised = ({ allLow, explanations }: Weighing): boolean =>
  EXPLANATIONS.some((one, i) => one in EXPLANATION_SHARE && explanations[i]! > priorOdds(one) * (1 - allLow));

const priorOdds = (one: Explanation): number =>
  ALL_LOW_PRIOR_ODDS * EXPLANATION_SHARE[one as keyof typeof EXPLANATION_SHARE];

/**
 * Groups cylinders with a probability of at least 0.5 into one suspect, with the probability that all of them have
 * the fault. Less likely ones remain single.
 */
function grouped(
  fault: CylinderFault,
  signatures: readonly Signature[],
  weighing: Weighing,
): [readonly number[], number][] {
  const likely = signatures
    .map(({ cylinder }) => ({ cylinder, p: calibrated(weighing.probability(fault, [cylinder])) }))
    .filter(({ p }) => p >= LEAST_CONFIDENCE)
    .sort((a, b) => a.cylinder - b.cylinder);
  const together = likely.filter(({ p }) => p >= 0.5).map(({ cylinder }) => cylinder);
  const alone = likely
    .filter(({ p }) => p < 0.5)
    .map(({ cylinder, p }): [number[], number] => [[cylinder], p]);
  return together.length === 0
    ? alone
    : [[together, calibrated(weighing.probability(fault, together))], ...alone];
}

/** A cylinder below this share of its engine's level has something broken in it, and cranking must stop. */
const BROKEN_SHARE = 1 / 3;

function nextStepFor(
  fault: CylinderFault,
  suspected: readonly Signature[],
  against: readonly Evidence[],
  engine: EngineFacts,
  lnCommon: number,
): NextStep {
  if (traitsOf(fault).effect === 'space') return 'clean-carbon';
  if (against.some(({ code }) => code === 'cranked-slower')) return 'repeat-test';
  if (engine.fuel === 'spark' && suspected.some((one) => one.wet === null)) return 'wet-test';
  const broken = suspected.some((one) => one.lnLevel < lnCommon + Math.log(BROKEN_SHARE));
  return broken ? 'ask-a-professional' : 'leak-down';
}
