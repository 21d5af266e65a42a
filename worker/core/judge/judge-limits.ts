/** Limits that do not come from the other cylinders: the manual's, and what geometry promises. */
import type { EngineFacts } from '../engine.ts';
import { asEvidence } from '../evidence.ts';
import { correctToSeaLevel, type ExpectedPressure } from '../physics/expected.ts';
import { hasNotice } from '../reading-quality.ts';
import { median } from '../statistics.ts';
import type { Breach } from './rules.ts';
import type { Signature } from './signature.ts';

/** Below this share of the lowest a sound cylinder should read, geometry alone calls it a fault: the default rule's share. */
const FAR_BELOW_SHARE = 0.75;

/**
 * A maker's figure was read on another gauge: a sensor's own is not certain to disagree with it by less than this share.
 * Common practice, no source. Figures typed in are taken at their word.
 */
const SENSOR_SHARE = 0.015;

/**
 * The space in an open hose takes about a tenth that the maker's check-valve gauge does not lose: 3 to 4 cm3 beside a clearance of 40.
 * From the simulator: sound cylinders against expected, open and check valve, in `npm run judgement -- --fit`.
 */
const OPEN_HOSE_SHARE = 0.1;

/** Thin air lowers all cylinders alike by up to this share where most people live (1500 m). */
const UNKNOWN_AIR_SHARE = 0.16;
/** A cylinder this far below the engine's middle one is low by itself, not by air or hose. */
const ALIKE_SHARE = 0.9;

/**
 * Cylinders outside the manual's minimum or maximum, or far below what geometry promises.
 *
 * A maker's minimum means sea level, a strong battery and the maker's gauge. A cylinder that is low as measured and not when
 * corrected for the barometer is only remarked on; one that might not be low on the maker's terms is doubtful. A reading
 * above the maximum asks for a look rather than condemns, so it is never certain.
 */
export function limitBreaches(
  signatures: readonly Signature[],
  { manual: { minKpa, maxKpa } }: Pick<EngineFacts, 'manual'>,
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
    if (expected !== null && signature.finalKpa < FAR_BELOW_SHARE * expected.lowKpa) {
      found.push(farBelow(signature, expected));
    }
    return found;
  });
}

/** Slow cranking lowers every cylinder; the limit does not hold for it. */
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
  // A dial gauge is what the maker used; and neither air nor hose picks out one cylinder.
  const typedIn = hasNotice(reading, 'typed-in');
  const ownShare = typedIn ? 0 : SENSOR_SHARE;
  const sharedShare =
    (!typedIn && reading.hose === 'open' ? OPEN_HOSE_SHARE : 0) +
    (ambientKpa === undefined ? UNKNOWN_AIR_SHARE : 0);
  // What lowers all alike is asked of the engine's middle cylinder: the others differ from it as sound ones do.
  const shared = alikeKpa !== null && sharedShare > 0;
  const fromKpa = shared ? Math.max(finalKpa, alikeKpa) : finalKpa;
  const plusMinusKpa = typedIn ? 0 : (reading.finalPlusMinusKpa ?? 0);
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

function farBelow(signature: Signature, { lowKpa, highKpa }: ExpectedPressure): Breach {
  return {
    cylinder: signature.cylinder,
    grade: crankedWell(signature) ? 'certain' : 'doubtful',
    evidence: asEvidence('far-below-expected', {
      cylinder: signature.cylinder,
      finalKpa: signature.finalKpa,
      lowKpa,
      highKpa,
    }),
  };
}
