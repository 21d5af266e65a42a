/** Limits that do not come from the other cylinders: the manual's, and what geometry promises. */
import type { EngineFacts } from './engine.ts';
import { correctToSeaLevel, type ExpectedPressure } from './expected.ts';
import type { Breach } from './rules.ts';
import { hasNotice, type Signature } from './signature.ts';

/** Below this share of the lowest a sound cylinder should read, geometry alone calls it a fault: the default rule's share. */
const FAR_BELOW_SHARE = 0.75;

/**
 * A maker's figure was read on another gauge: a sensor's own is not certain to disagree with it by less than this share.
 * Common practice, no source. Figures typed in are taken at their word.
 */
const SENSOR_SHARE = 0.015;

/**
 * A cylinder outside the manual's minimum or maximum, or far below what its geometry promises.
 *
 * A maker's minimum means sea level and a strong battery: one that is low as measured but not when corrected for the
 * barometer, or that was cranked slowly, is mentioned and not certain. A reading above the maximum asks for a look
 * rather than condemns, so it is never certain.
 */
export function limitBreaches(
  signature: Signature,
  { manual: { minKpa, maxKpa } }: Pick<EngineFacts, 'manual'>,
  expected: ExpectedPressure | null,
  ambientKpa: number | undefined,
): Breach[] {
  const { cylinder, finalKpa, reading } = signature;
  const slow = hasNotice(reading, 'cranking-slow');
  const reads = `Cylinder ${cylinder} reads ${finalKpa.toFixed(0)} kPa`;
  const found: Breach[] = [];
  if (minKpa !== undefined && finalKpa < minKpa) {
    const seaLevelKpa = ambientKpa === undefined ? finalKpa : correctToSeaLevel(finalKpa, ambientKpa);
    const corrected = seaLevelKpa >= minKpa;
    const doubtKpa = hasNotice(reading, 'typed-in')
      ? 0
      : Math.max(reading.finalPlusMinusKpa ?? 0, SENSOR_SHARE * finalKpa);
    found.push({
      cylinder,
      certain: !corrected && !slow && Math.max(finalKpa, seaLevelKpa) + doubtKpa < minKpa,
      evidence: {
        code: corrected ? 'below-manual-min-as-measured' : 'below-manual-min',
        values: {
          cylinder,
          finalKpa,
          minKpa,
          ...(ambientKpa === undefined ? {} : { seaLevelKpa, ambientKpa }),
        },
        detail:
          `${reads}; the manual's minimum is ${minKpa.toFixed(0)} kPa` +
          (corrected ? `, reached once corrected to sea level (${seaLevelKpa.toFixed(0)} kPa).` : '.'),
      },
    });
  }
  if (maxKpa !== undefined && finalKpa > maxKpa) {
    found.push({
      cylinder,
      certain: false,
      evidence: {
        code: 'above-manual-max',
        values: { cylinder, finalKpa, maxKpa },
        detail: `${reads}, above the manual's ${maxKpa.toFixed(0)} kPa.`,
      },
    });
  }
  if (expected !== null && finalKpa < FAR_BELOW_SHARE * expected.lowKpa) {
    found.push({
      cylinder,
      certain: !slow,
      evidence: {
        code: 'far-below-expected',
        values: { cylinder, finalKpa, lowKpa: expected.lowKpa, highKpa: expected.highKpa },
        detail: `${reads}; from its geometry this engine should read ${expected.lowKpa.toFixed(0)} to ${expected.highKpa.toFixed(0)} kPa.`,
      },
    });
  }
  return found;
}
