/** Limits independent of the other cylinders: the manual's, and what engines of this geometry read. */
import type { EngineFacts, ManualLimits } from '../engine.ts';
import { asEvidence } from '../evidence.ts';
import type { ExpectedPressure } from '../physics/expected.ts';
import { correctToSeaLevel } from '../physics/standard-atmosphere.ts';
import { hasNotice } from '../reading-quality.ts';
import { median } from '../statistics.ts';
import { SEA_LEVEL_KPA } from '../units.ts';
import type { Breach } from './rules.ts';
import type { Signature } from './signature.ts';

/**
 * The manual's figure was read on another gauge, so a difference below this share is not certain. Common practice, no
 * source. Not applied to typed figures, nor where the class of the sensor is known: its own error replaces it.
 */
const SENSOR_SHARE = 0.015;

/**
 * The volume of an open hose lowers the reading, which the manual's check-valve gauge does not lose. The tool is not told the
 * volume: 4 cm3 beside a clearance of 45 take a tenth, 20 cm3 (half a metre of 7 mm bore) take a third, and with an adapter of 8 cm3
 * beside a clearance of 35 nearly half.
 */
export const OPEN_HOSE_SHARE = 0.8;

/**
 * Volume of the adapter of a check-valve hose beyond that of the maker's gauge: 1 cm3 beside a clearance of 45. Lowers all
 * cylinders alike, so that one counts only with cylinders within `ADAPTER_ALIKE_SHARE` of the median, the spread of sound ones.
 */
export const ADAPTER_SHARE = 0.02;
const ADAPTER_ALIKE_SHARE = 0.97;

/** Altitude lowers all cylinders alike, by up to this share where most people live (1500 m). */
export const UNKNOWN_AIR_SHARE = 0.16;
/** Below this share of the median cylinder, a cylinder is low by itself and not by air or hose. */
const ALIKE_SHARE = 0.9;

/**
 * Breaches of the manual's minimum or maximum, and cylinders far below what geometry lets expect.
 *
 * A manual's minimum applies at sea level, with a strong battery and the maker's gauge. A cylinder below it as
 * measured but not after correction for the barometer is `explained`. One that may meet it under the manual's
 * conditions is `doubtful`. A reading above the maximum is never certain: it asks for inspection only.
 */
export function limitBreaches(
  signatures: readonly Signature[],
  { geometry: { compressionRatio }, manual: { minKpa, maxKpa } }: Pick<EngineFacts, 'geometry' | 'manual'>,
  expected: ExpectedPressure | null,
  ambientKpa: number | undefined,
): Breach[] {
  const middleKpa = signatures.length === 0 ? 0 : median(signatures.map((one) => one.finalKpa));
  const isAlike = ({ finalKpa }: Signature): boolean => finalKpa >= ALIKE_SHARE * middleKpa;
  return signatures.flatMap((signature) => {
    const found: Breach[] = [];
    if (minKpa !== undefined && signature.finalKpa < minKpa) {
      found.push(belowMinimum(signature, minKpa, ambientKpa, isAlike(signature) ? middleKpa : null));
    }
    if (maxKpa !== undefined && signature.finalKpa > maxKpa) found.push(aboveMaximum(signature, maxKpa));
    // The manual knows this engine, so a cylinder that meets it is not held to the geometry.
    const meetsManual = minKpa !== undefined && signature.finalKpa >= minKpa;
    if (expected?.canTellLow && !meetsManual && signature.finalKpa < expected.lowKpa) {
      found.push(farBelow(signature, expected, compressionRatio!));
    }
    return found;
  });
}

/** False for slow cranking, which lowers every cylinder, so that limits do not apply. */
const crankedWell = ({ reading }: Signature): boolean => !hasNotice(reading, 'cranking-slow');

function belowMinimum(
  signature: Signature,
  minKpa: number,
  ambientKpa: number | undefined,
  alikeKpa: number | null,
): Breach {
  const { cylinder, finalKpa, reading } = signature;
  const seaLevelKpa = ambientKpa === undefined ? finalKpa : correctToSeaLevel(finalKpa, ambientKpa);
  const corrected = seaLevelKpa >= minKpa;
  // The maker used a dial gauge as well. Neither air nor hose lowers one cylinder alone.
  const typedIn = hasNotice(reading, 'typed-in');
  const isClassKnown = reading.sensorPlusMinusKpa !== undefined;
  const ownShare = typedIn || isClassKnown ? 0 : SENSOR_SHARE;
  const isHeld = !typedIn && reading.hose === 'check-valve';
  const sharedShare =
    (!typedIn && reading.hose === 'open' ? OPEN_HOSE_SHARE : 0) +
    (isHeld && alikeKpa !== null && finalKpa >= ADAPTER_ALIKE_SHARE * alikeKpa ? ADAPTER_SHARE : 0) +
    (ambientKpa === undefined ? UNKNOWN_AIR_SHARE : 0);
  // Effects that lower all cylinders are checked on the median cylinder: the others differ from it as sound ones do.
  const shared = alikeKpa !== null && sharedShare > 0;
  const fromKpa = shared ? Math.max(finalKpa, alikeKpa) : finalKpa;
  const betweenKpa = typedIn ? 0 : (reading.finalPlusMinusKpa ?? 0);
  const plusMinusKpa = Math.hypot(betweenKpa, reading.sensorPlusMinusKpa ?? 0);
  const mostKpa =
    fromKpa * Math.max(1, seaLevelKpa / finalKpa) * (1 + ownShare + (shared ? sharedShare : 0)) +
    plusMinusKpa;
  return {
    cylinder,
    grade: corrected ? 'explained' : crankedWell(signature) && mostKpa < minKpa ? 'certain' : 'doubtful',
    evidence: asEvidence(corrected ? 'below-manual-min-as-measured' : 'below-manual-min', {
      cylinder,
      finalKpa,
      minKpa,
      ...(ambientKpa === undefined ? {} : { seaLevelKpa, ambientKpa }),
    }),
  };
}

function aboveMaximum(signature: Signature, maxKpa: number): Breach {
  return {
    cylinder: signature.cylinder,
    grade: 'doubtful',
    evidence: asEvidence('above-manual-max', {
      cylinder: signature.cylinder,
      finalKpa: signature.finalKpa,
      maxKpa,
    }),
  };
}

function farBelow(signature: Signature, { lowKpa, highKpa }: ExpectedPressure, ratio: number): Breach {
  return {
    cylinder: signature.cylinder,
    // Published figures of engines of equal geometry differ by a quarter, so geometry is never certain.
    grade: 'doubtful',
    evidence: asEvidence('far-below-expected', {
      cylinder: signature.cylinder,
      finalKpa: signature.finalKpa,
      lowKpa,
      highKpa,
      ratio,
    }),
  };
}

/**
 * A maker's minimum is 0.67 to 0.88 of its standard (58 pairs of published service data), and some lists print minima without
 * saying so.
 */
const MINIMUM_SHARE = 0.7;

/** Whether the manual's maximum is so far below what healthy engines of this ratio read that it may be the minimum. */
export function isMaximumDoubtful(
  { minKpa, maxKpa }: ManualLimits,
  expected: ExpectedPressure | null,
  ambientKpa: number | undefined,
): boolean {
  if (expected === null || maxKpa === undefined || minKpa !== undefined) return false;
  return maxKpa <= MINIMUM_SHARE * correctToSeaLevel(expected.expectedKpa, ambientKpa ?? SEA_LEVEL_KPA);
}
