/**
 * Limits on what geometry alone can say. Published figures of engines of equal geometry differ by a quarter, so a level that is
 * low for the geometry needs a second witness before it is likely.
 */
import type { EngineFacts } from '../engine.ts';
import type { EvidenceCode } from '../evidence.ts';
import type { Suspect, TestConditions } from '../judgement.ts';
import { correctToSeaLevel } from '../physics/standard-atmosphere.ts';
import { hasNotice } from '../reading-quality.ts';
import { isLeak } from './faults.ts';
import { OPEN_HOSE_SHARE, UNKNOWN_AIR_SHARE } from './judge-limits.ts';
import type { Signature } from './signature.ts';

/** Upper limit of a confidence while geometry is the only witness: below what alone makes the verdict `watch`. */
const GEOMETRY_ALONE = 0.45;

/** Evidence that does not rest on geometry or on other cylinders. Oil that does not help fits a compression release as well. */
const SECOND_WITNESS: readonly EvidenceCode[] = [
  'cranked-slowly',
  'all-build-slowly',
  'builds-slowly',
  'wet-rise',
];

/** Whether `kpa` is below the manual's minimum with the allowances for an open hose and an unknown barometer. */
function isBelowManual(
  kpa: number,
  { manual: { minKpa } }: EngineFacts,
  { ambientKpa }: TestConditions,
  signatures: readonly Signature[],
): boolean {
  const isOpen = signatures.some(
    ({ reading }) => reading.hose !== 'check-valve' && !hasNotice(reading, 'typed-in'),
  );
  const allowance = 1 + (isOpen ? OPEN_HOSE_SHARE : 0) + (ambientKpa === undefined ? UNKNOWN_AIR_SHARE : 0);
  const seaLevelKpa = ambientKpa === undefined ? kpa : correctToSeaLevel(kpa, ambientKpa);
  return minKpa !== undefined && seaLevelKpa * allowance < minKpa;
}

/**
 * Limits suspects that rest on geometry alone: `all-low`, and a leak in an engine of one cylinder. `kpa`: level of the engine's
 * sound cylinders, or of the only one.
 */
export function withinGeometry(
  suspect: Suspect,
  kpa: number,
  engine: EngineFacts,
  conditions: TestConditions,
  signatures: readonly Signature[],
): Suspect {
  const restsOnLevel = suspect.cause === 'all-low' || (signatures.length === 1 && isLeak(suspect.cause));
  const isWitnessed =
    suspect.evidence.some(({ code }) => SECOND_WITNESS.includes(code)) ||
    isBelowManual(kpa, engine, conditions, signatures);
  return restsOnLevel && !isWitnessed
    ? { ...suspect, confidence: Math.min(suspect.confidence, GEOMETRY_ALONE) }
    : suspect;
}
