/**
 * The suspect `all-low`: the whole engine reads low with its cylinders alike (cam timing, throttle, battery, even
 * wear).
 */
import type { EngineFacts } from '../engine.ts';
import { asEvidence, type Evidence, type EvidenceCode } from '../evidence.ts';
import type { NextStep, Suspect, TestConditions } from '../judgement.ts';
import { type ExpectedPressure, SPEED } from '../physics/expected.ts';
import { correctToSeaLevel } from '../physics/standard-atmosphere.ts';
import { hasNotice } from '../reading-quality.ts';
import { median } from '../statistics.ts';
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
}

/** Builds the suspect `all-low` with its evidence and next step. `expected` is `null` without a compression ratio. */
export function allLowSuspect(
  signatures: readonly Signature[],
  engine: EngineFacts,
  conditions: TestConditions,
  { confidence, lnCommon, expected }: Weighed,
): Suspect {
  const usualKpa = Math.exp(lnCommon);
  const sides = [
    spreadEvidence(signatures),
    againstExpected(usualKpa, expected, engine.geometry.compressionRatio),
    againstManual(usualKpa, engine.manual.minKpa, conditions.ambientKpa),
    slowCranking(signatures),
    slowBuildUp(signatures),
  ].filter((side) => side !== null);
  const evidence = sides.filter((side) => side.speaksFor).map((side) => side.evidence);
  return {
    cause: 'all-low',
    cylinders: signatures.map((one) => one.cylinder).sort((a, b) => a - b),
    confidence,
    evidence,
    against: sides.filter((side) => !side.speaksFor).map((side) => side.evidence),
    nextStep: nextStep(evidence, engine, conditions),
  };
}

/** The most likely and cheapest explanation first. */
function nextStep(
  evidence: readonly Evidence[],
  { fuel }: EngineFacts,
  { throttleOpen }: TestConditions,
): NextStep {
  const found = (code: EvidenceCode): boolean => evidence.some((one) => one.code === code);
  if (found('cranked-slowly')) return 'charge-battery-repeat';
  if (fuel === 'spark' && found('all-build-slowly')) return 'wet-test';
  return fuel === 'spark' && throttleOpen !== true ? 'open-throttle-repeat' : 'check-cam-timing';
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

function slowCranking(signatures: readonly Signature[]): Side | null {
  const slow = signatures.filter(
    ({ reading }) =>
      hasNotice(reading, 'cranking-slow') ||
      hasNotice(reading, 'cranking-sagged') ||
      (reading.crankingRpm ?? SPEED.rpm) < SPEED.least,
  );
  if (slow.length <= signatures.length / 2) return null;
  const speeds = slow.flatMap(({ reading }) => reading.crankingRpm ?? []);
  const slowest = speeds.length === 0 ? null : slownessOf(Math.min(...speeds));
  return {
    speaksFor: true,
    evidence: asEvidence('cranked-slowly', { count: slow.length, ...slowest }),
  };
}

/** Loss of pressure of a sound engine by its speed alone, against the usual speed. */
const slownessOf = (rpm: number) => ({
  rpm,
  usualRpm: SPEED.rpm,
  explainsPercent: percentBelow(SPEED.power * Math.log(SPEED.rpm / Math.min(rpm, SPEED.rpm))),
});

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
