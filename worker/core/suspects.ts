/** Suspects of one engine: every cause worth naming, with its probability, evidence and next step. */
import type { EngineFacts } from './engine.ts';
import type { ExpectedPressure } from './expected.ts';
import type { Evidence, NextStep, Suspect, TestConditions } from './judgement.ts';
import { neighboursOf } from './layouts.ts';
import { hasNotice, type Signature } from './signature.ts';
import { type Company, evidenceFor, percentBelow } from './suspect-evidence.ts';
import { levelPrior } from './suspect-level.ts';
import type { CylinderFault } from './suspect-model.ts';
import { type Weighing, weighFaults } from './suspect-odds.ts';

/** A cause less likely than this is not worth a line. */
const LEAST_CONFIDENCE = 0.1;

/** Nobody is surer than this of a fault they have not seen. */
const MOST_CONFIDENCE = 0.99;

export interface Suspicion {
  readonly suspects: readonly Suspect[];
  readonly weighing: Weighing;
  /** Whether manual or geometry says what level to expect. */
  readonly levelKnown: boolean;
}

/** `signatures` must not be empty. */
export function suspectsOf(
  signatures: readonly Signature[],
  engine: EngineFacts,
  conditions: TestConditions,
  expected: ExpectedPressure | null,
): Suspicion {
  const prior = levelPrior(engine, conditions.ambientKpa, expected);
  const neighbours = neighboursOf(engine.layout);
  const weighing = weighFaults(signatures, neighbours, prior);
  const company: Company = {
    signatures,
    lnCommon: weighing.lnCommon,
    manualMaxKpa: engine.manual.maxKpa,
  };
  const suspect = (fault: CylinderFault, cylinders: readonly number[], confidence: number): Suspect => {
    const suspected = signatures.filter((one) => cylinders.includes(one.cylinder));
    return {
      cause: fault,
      cylinders,
      confidence: Math.min(confidence, MOST_CONFIDENCE),
      ...evidenceFor(fault, suspected, company),
      nextStep: nextStepFor(fault, suspected, engine),
    };
  };
  const singles = (['ring-wear', 'valve-leak', 'carbon'] as const).flatMap((fault) =>
    grouped(fault, signatures, weighing).map(([cylinders, p]) => suspect(fault, cylinders, p)),
  );
  const gaskets = neighbours.flatMap((pair) => {
    if (!pair.every((cylinder) => signatures.some((one) => one.cylinder === cylinder))) return [];
    const p = weighing.probability('head-gasket', pair);
    return p < LEAST_CONFIDENCE ? [] : [suspect('head-gasket', pair, p)];
  });
  return {
    suspects: [...singles, ...gaskets, ...allLow(signatures, engine, weighing, expected)].sort(
      (a, b) => b.confidence - a.confidence,
    ),
    weighing,
    levelKnown: prior.informed,
  };
}

/**
 * Cylinders that probably share a fault make one suspect, with the probability that all of them have it; less likely
 * ones stand alone.
 */
function grouped(
  fault: CylinderFault,
  signatures: readonly Signature[],
  weighing: Weighing,
): [readonly number[], number][] {
  const likely = signatures
    .map(({ cylinder }) => ({ cylinder, p: weighing.probability(fault, [cylinder]) }))
    .filter(({ p }) => p >= LEAST_CONFIDENCE)
    .sort((a, b) => a.cylinder - b.cylinder);
  const together = likely.filter(({ p }) => p >= 0.5).map(({ cylinder }) => cylinder);
  const alone = likely
    .filter(({ p }) => p < 0.5)
    .map(({ cylinder, p }): [number[], number] => [[cylinder], p]);
  return together.length === 0 ? alone : [[together, weighing.probability(fault, together)], ...alone];
}

function nextStepFor(fault: CylinderFault, suspected: readonly Signature[], engine: EngineFacts): NextStep {
  if (fault === 'carbon') return 'clean-carbon';
  if (engine.fuel === 'spark' && suspected.some((one) => one.wet === null)) return 'wet-test';
  return 'leak-down';
}

function allLow(
  signatures: readonly Signature[],
  engine: EngineFacts,
  weighing: Weighing,
  expected: ExpectedPressure | null,
): Suspect[] {
  if (weighing.allLow < LEAST_CONFIDENCE) return [];
  const evidence: Evidence[] = [];
  const against: Evidence[] = [];
  const levels = signatures.map((one) => one.lnLevel);
  const spreadPercent = percentBelow(Math.max(...levels) - Math.min(...levels));
  (spreadPercent < 15 ? evidence : against).push({
    code: spreadPercent < 15 ? 'all-alike' : 'not-alike',
    values: { spreadPercent },
    detail: `The cylinders differ by ${spreadPercent.toFixed(0)} % between lowest and highest.`,
  });
  const usualKpa = Math.exp(weighing.lnCommon);
  if (expected !== null) {
    const below = usualKpa < expected.expectedKpa;
    (below ? evidence : against).push({
      code: below ? 'below-expected' : 'as-expected',
      values: {
        usualKpa,
        expectedKpa: expected.expectedKpa,
        lowKpa: expected.lowKpa,
        highKpa: expected.highKpa,
      },
      detail: `Sound cylinders here read about ${usualKpa.toFixed(0)} kPa; from its geometry this engine should read ${expected.lowKpa.toFixed(0)} to ${expected.highKpa.toFixed(0)} kPa.`,
    });
  }
  const { minKpa } = engine.manual;
  if (minKpa !== undefined) {
    const below = usualKpa < minKpa;
    (below ? evidence : against).push({
      code: below ? 'all-below-manual' : 'above-manual-min',
      values: { usualKpa, minKpa },
      detail: `Sound cylinders here read about ${usualKpa.toFixed(0)} kPa; the manual's minimum is ${minKpa.toFixed(0)} kPa.`,
    });
  }
  const slow = signatures.filter(
    ({ reading }) => hasNotice(reading, 'cranking-slow') || hasNotice(reading, 'cranking-sagged'),
  );
  const weakBattery = slow.length > signatures.length / 2;
  if (weakBattery) {
    const rpm = Math.min(...slow.map(({ reading }) => reading.crankingRpm ?? Number.POSITIVE_INFINITY));
    evidence.push({
      code: 'cranked-slowly',
      values: { count: slow.length, ...(Number.isFinite(rpm) ? { rpm } : {}) },
      detail: `Cranking was slow or sagged on ${slow.length} of ${signatures.length} cylinders.`,
    });
  }
  return [
    {
      cause: 'all-low',
      cylinders: signatures.map((one) => one.cylinder).sort((a, b) => a - b),
      confidence: Math.min(weighing.allLow, MOST_CONFIDENCE),
      evidence,
      against,
      nextStep: weakBattery
        ? 'charge-battery-repeat'
        : engine.fuel === 'spark'
          ? 'open-throttle-repeat'
          : 'check-cam-timing',
    },
  ];
}
