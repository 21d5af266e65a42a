import type { ManualLimits } from './engine.ts';
import { correctToSeaLevel } from './expected.ts';
import type { Breach, Level } from './rules.ts';

/**
 * Cylinders outside the manual's minimum or maximum. A maker's figures mean sea level: one that is low as measured but not
 * when corrected for the barometer is mentioned, and not certain. A maximum is exceeded by carbon, not by weather, and a
 * reading above it asks for a look rather than condemns, so it is never certain.
 */
export function manualFindings(
  levels: readonly Level[],
  { minKpa, maxKpa }: ManualLimits,
  ambientKpa: number | undefined,
): Breach[] {
  return levels.flatMap((level): Breach[] => {
    const { cylinder, finalKpa, plusMinusKpa } = level;
    const correct = (kpa: number): number =>
      ambientKpa === undefined ? kpa : correctToSeaLevel(kpa, ambientKpa);
    const seaLevelKpa = correct(finalKpa);
    const found: Breach[] = [];
    if (minKpa !== undefined && finalKpa < minKpa) {
      const corrected = seaLevelKpa >= minKpa;
      found.push({
        cylinder,
        certain: !corrected && Math.max(finalKpa, seaLevelKpa) + plusMinusKpa < minKpa,
        evidence: {
          code: corrected ? 'below-manual-min-as-measured' : 'below-manual-min',
          values: {
            cylinder,
            finalKpa,
            minKpa,
            ...(ambientKpa === undefined ? {} : { seaLevelKpa, ambientKpa }),
          },
          detail:
            `Cylinder ${cylinder} reads ${finalKpa.toFixed(0)} kPa; the manual's minimum is ${minKpa.toFixed(0)} kPa` +
            (corrected
              ? `, which it reaches once corrected to sea level (${seaLevelKpa.toFixed(0)} kPa).`
              : '.'),
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
          detail: `Cylinder ${cylinder} reads ${finalKpa.toFixed(0)} kPa, above the manual's ${maxKpa.toFixed(0)} kPa.`,
        },
      });
    }
    return found;
  });
}
