/**
 * The suspect `all-low`: the whole engine reads low with its cylinders alike (cam timing, throttle, battery, even
 * wear).
 */
import type { EngineFacts } from '../engine.ts';
import { asEvidence, type Evidence } from '../evidence.ts';
import type { Suspect, TestConditions } from '../judgement.ts';
import { type Cranked, type ExpectedPressure, lnSpeedEffect, SPEED } from '../physics/expected.ts';
import { correctToSeaLevel } from '../physics/standard-atmosphere.ts';
import { hasNotice } from '../reading-quality.ts';
import { median } from '../statistics.ts';
import { type EngineSigns, INTAKE_SHUT_KPA, usualClosing } from './engine-signs.ts';
import { explanationOf } from './explanations.ts';
import type { Signature } from './signature.ts';
import { percentBelow } from './suspect-evidence.ts';

/** Largest spread of cylinders that count as alike, per cent. */
const ALIKE_PERCENT = 15;

/**
 * Median lag (natural logarithm) above which the build-up on an open hose is slow. A check-valve hose may still be
 * filling at the third stroke, so it is not evidence.
 */
const SLOW_OPEN_LAG = 0.05;

interface Weighed {
  readonly confidence: number;
  /** Level of the cylinders without a fault of their own, ln kPa. */
  readonly lnCommon: number;
  readonly expected: ExpectedPressure | null;
  readonly signs: EngineSigns;
  readonly cranked: Cranked;
  /** Probabilities in the order of `EXPLANATIONS`. */
  readonly explanations: readonly number[];
}

/** Builds the suspect `all-low` with its evidence and next step. `expected` is `null` without a compression ratio. */
export function allLowSuspect(
  signatures: readonly Signature[],
  engine: EngineFacts,
  conditions: TestConditions,
  { confidence, lnCommon, expected, signs, cranked, explanations }: Weighed,
): Suspect {
  const usualKpa = Math.exp(lnCommon);
  // The signs first: the first reason is also the verdict's.
  const sides = [
    throttle(signs),
    closing(signs, engine),
    slowCranking(signatures, cranked),
    spreadEvidence(signatures),
    againstExpected(usualKpa, expected, engine.geometry.compressionRatio),
    againstManual(usualKpa, engine.manual.minKpa, conditions.ambientKpa),
    slowBuildUp(signatures),
  ].filter((side) => side !== null);
  const explained = explanationOf(explanations, cranked, engine, conditions);
  const evidence = [
    ...sides.filter((side) => side.speaksFor).map((side) => side.evidence),
    ...explained.evidence,
  ];
  return {
    cause: 'all-low',
    cylinders: signatures.map((one) => one.cylinder).sort((a, b) => a - b),
    confidence,
    evidence,
    against: sides.filter((side) => !side.speaksFor).map((side) => side.evidence),
    // The cheapest test first, where nothing stands out.
    nextStep:
      !explained.standsOut && evidence.some(({ code }) => code === 'cranked-slowly')
        ? 'charge-battery-repeat'
        : explained.nextStep,
  };
}

interface Side {
  readonly speaksFor: boolean;
  readonly evidence: Evidence;
}

function spreadEvidence(signatures: readonly Signature[]): Side | null {
  if (signatures.length < 2) return null;
  const levels = signatures.map((one) => one.lnLevel);
  const spreadPercent = percentBelow(Math.max(...levels) - Math.min(...levels));
  const speaksFor = spreadPercent < ALIKE_PERCENT;
  return {
    speaksFor,
    evidence: asEvidence(speaksFor ? 'all-alike' : 'not-alike', { spreadPercent }),
  };
}

function againstExpected(usualKpa: number, expected: ExpectedPressure | null, ratio?: number): Side | null {
  if (expected === null || ratio === undefined) return null;
  const { expectedKpa, lowKpa, highKpa } = expected;
  const speaksFor = usualKpa < expectedKpa;
  return {
    speaksFor,
    evidence: asEvidence(speaksFor ? 'below-expected' : 'as-expected', {
      usualKpa,
      expectedKpa,
      lowKpa,
      highKpa,
      ratio,
    }),
  };
}

/** The minimum applies at sea level. */
function againstManual(
  usualKpa: number,
  minKpa: number | undefined,
  ambientKpa: number | undefined,
): Side | null {
  if (minKpa === undefined) return null;
  const speaksFor = (ambientKpa === undefined ? usualKpa : correctToSeaLevel(usualKpa, ambientKpa)) < minKpa;
  return {
    speaksFor,
    evidence: asEvidence(speaksFor ? 'all-below-manual' : 'above-manual-min', { usualKpa, minKpa }),
  };
}

/** Loss of pressure by slow cranking that counts as slow, natural logarithm: 7 %. */
const SLOW_LOSS = 0.07;

function slowCranking(signatures: readonly Signature[], cranked: Cranked): Side | null {
  const lnLoss = -lnSpeedEffect(cranked);
  const noticed = signatures.filter(
    ({ reading }) => hasNotice(reading, 'cranking-slow') || hasNotice(reading, 'cranking-sagged'),
  );
  const isNoticed = noticed.length > signatures.length / 2;
  if (!isNoticed && lnLoss < SLOW_LOSS) return null;
  const speeds = signatures.flatMap(({ reading }) => reading.crankingRpm ?? []);
  const slowness = {
    rpm: Math.min(...speeds),
    usualRpm: SPEED.rpm,
    explainsPercent: percentBelow(Math.max(0, lnLoss)),
  };
  return {
    speaksFor: true,
    evidence: asEvidence('cranked-slowly', {
      count: isNoticed ? noticed.length : signatures.length,
      ...(speeds.length === 0 ? null : slowness),
    }),
  };
}

function throttle({ intakeKpa }: EngineSigns): Side | null {
  if (intakeKpa === null) return null;
  return -intakeKpa > INTAKE_SHUT_KPA
    ? { speaksFor: true, evidence: asEvidence('throttle-shut', { belowKpa: -intakeKpa }) }
    : { speaksFor: false, evidence: asEvidence('throttle-open', {}) };
}

function closing({ closesDegAbdc: closesDeg }: EngineSigns, { geometry }: EngineFacts): Side | null {
  if (closesDeg === null) return null;
  const { usualDeg, lateFromDeg } = usualClosing(geometry.intakeClosesDegAbdc);
  return closesDeg > lateFromDeg
    ? { speaksFor: true, evidence: asEvidence('closes-late', { closesDeg, usualDeg }) }
    : { speaksFor: false, evidence: asEvidence('closes-on-time', { closesDeg }) };
}

/** Evenly worn rings lower all cylinders alike. */
function slowBuildUp(signatures: readonly Signature[]): Side | null {
  const lags = signatures.flatMap((one) => (one.reading.hose === 'open' ? (one.lag ?? []) : []));
  if (lags.length === 0 || median(lags) < SLOW_OPEN_LAG) return null;
  const lagPercent = percentBelow(median(lags));
  return {
    speaksFor: true,
    evidence: asEvidence('all-build-slowly', { lagPercent }),
  };
}
