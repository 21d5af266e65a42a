/** Limits that do not come from the other cylinders: the manual's, and what geometry promises. */
import type { EngineFacts } from './engine.ts';
import { correctToSeaLevel, type ExpectedPressure } from './expected.ts';
import type { Breach } from './rules.ts';
import { hasNotice, type Signature } from './signature.ts';
import { median } from './statistics.ts';

/** Below this share of the lowest a sound cylinder should read, geometry alone calls it a fault: the default rule's share. */
const FAR_BELOW_SHARE = 0.75;

/**
 * A maker's figure was read on another gauge: a sensor's own is not certain to disagree with it by less than this share.
 * Common practice, no source. Figures typed in are taken at their word.
 */
const SENSOR_SHARE = 0.015;

/** The space in an open hose takes a few per cent that the maker's check-valve gauge does not lose. */
const OPEN_HOSE_SHARE = 0.05;

/** Thin air lowers all cylinders alike by up to this share where most people live (1500 m). */
const UNKNOWN_AIR_SHARE = 0.16;
/** A cylinder this far below the engine's middle one is not low by the air alone. */
const ALIKE_SHARE = 0.9;

/**
 * Cylinders outside the manual's minimum or maximum, or far below what geometry promises.
 *
 * A maker's minimum means sea level, a strong battery and the maker's gauge. One that is low as measured but might not be
 * on those terms is mentioned and not certain. A reading above the maximum asks for a look rather than condemns, so it
 * is never certain.
 */
export function limitBreaches(
  signatures: readonly Signature[],
  { manual: { minKpa, maxKpa } }: Pick<EngineFacts, 'manual'>,
  expected: ExpectedPressure | null,
  ambientKpa: number | undefined,
): Breach[] {
  const middleKpa = signatures.length === 0 ? 0 : median(signatures.map((one) => one.finalKpa));
  const airMayExplain = ({ finalKpa }: Signature): boolean =>
    ambientKpa === undefined && finalKpa >= ALIKE_SHARE * middleKpa;
  return signatures.flatMap((signature) => {
    const found: Breach[] = [];
    if (minKpa !== undefined && signature.finalKpa < minKpa) {
      found.push(belowMinimum(signature, minKpa, ambientKpa, airMayExplain(signature)));
    }
    if (maxKpa !== undefined && signature.finalKpa > maxKpa) found.push(aboveMaximum(signature, maxKpa));
    if (expected !== null && signature.finalKpa < FAR_BELOW_SHARE * expected.lowKpa) {
      found.push(farBelow(signature, expected));
    }
    return found;
  });
}

const reads = ({ cylinder, finalKpa }: Signature): string =>
  `Cylinder ${cylinder} reads ${finalKpa.toFixed(0)} kPa`;

/** Slow cranking lowers every cylinder; the limit does not hold for it. */
const crankedWell = ({ reading }: Signature): boolean => !hasNotice(reading, 'cranking-slow');

function belowMinimum(
  signature: Signature,
  minKpa: number,
  ambientKpa: number | undefined,
  airMayExplain: boolean,
): Breach {
  const { cylinder, finalKpa, reading } = signature;
  const seaLevelKpa = ambientKpa === undefined ? finalKpa : correctToSeaLevel(finalKpa, ambientKpa);
  const corrected = seaLevelKpa >= minKpa;
  const rigShare = hasNotice(reading, 'typed-in')
    ? 0
    : SENSOR_SHARE + (reading.hose === 'open' ? OPEN_HOSE_SHARE : 0);
  const mostKpa = Math.max(finalKpa, seaLevelKpa) * (1 + rigShare + (airMayExplain ? UNKNOWN_AIR_SHARE : 0));
  return {
    cylinder,
    certain: crankedWell(signature) && mostKpa < minKpa,
    evidence: {
      code: corrected ? 'below-manual-min-as-measured' : 'below-manual-min',
      values: {
        cylinder,
        finalKpa,
        minKpa,
        ...(ambientKpa === undefined ? {} : { seaLevelKpa, ambientKpa }),
      },
      detail:
        `${reads(signature)}; the manual's minimum is ${minKpa.toFixed(0)} kPa` +
        (corrected ? `, reached once corrected to sea level (${seaLevelKpa.toFixed(0)} kPa).` : '.'),
    },
  };
}

function aboveMaximum(signature: Signature, maxKpa: number): Breach {
  return {
    cylinder: signature.cylinder,
    certain: false,
    evidence: {
      code: 'above-manual-max',
      values: { cylinder: signature.cylinder, finalKpa: signature.finalKpa, maxKpa },
      detail: `${reads(signature)}, above the manual's ${maxKpa.toFixed(0)} kPa.`,
    },
  };
}

function farBelow(signature: Signature, { lowKpa, highKpa }: ExpectedPressure): Breach {
  return {
    cylinder: signature.cylinder,
    certain: crankedWell(signature),
    evidence: {
      code: 'far-below-expected',
      values: { cylinder: signature.cylinder, finalKpa: signature.finalKpa, lowKpa, highKpa },
      detail: `${reads(signature)}; from its geometry this engine should read ${lowKpa.toFixed(0)} to ${highKpa.toFixed(0)} kPa.`,
    },
  };
}
