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
import { ADAPTER_SHARE, OPEN_HOSE_SHARE, UNKNOWN_AIR_SHARE } from './judge-limits.ts';
import type { Signature } from './signature.ts';

/** Upper limit of the confidences while geometry is the only witness, together: below what alone makes the verdict `watch`. */
const GEOMETRY_ALONE = 0.45;

/** Evidence that does not rest on geometry or on other cylinders. Oil that does not help fits a compression release as well. */
const SECOND_WITNESS: readonly EvidenceCode[] = [
  'cranked-slowly',
  'throttle-shut',
  'closes-late',
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
  const traced = signatures.filter(({ reading }) => !hasNotice(reading, 'typed-in'));
  const isOpen = traced.some(({ reading }) => reading.hose !== 'check-valve');
  const ofRig = isOpen ? OPEN_HOSE_SHARE : traced.length > 0 ? ADAPTER_SHARE : 0;
  const allowance = 1 + ofRig + (ambientKpa === undefined ? UNKNOWN_AIR_SHARE : 0);
  const seaLevelKpa = ambientKpa === undefined ? kpa : correctToSeaLevel(kpa, ambientKpa);
  return minKpa !== undefined && seaLevelKpa * allowance < minKpa;
}

/**
 * Limits the suspects that rest on geometry alone, together: `all-low`, and leaks in an engine of one cylinder. `kpa`: level of the
 * engine's sound cylinders, or of the only one.
 */
export function withinGeometry(
  suspects: readonly Suspect[],
  kpa: number,
  engine: EngineFacts,
  conditions: TestConditions,
  signatures: readonly Signature[],
): Suspect[] {
  if (isBelowManual(kpa, engine, conditions, signatures)) return [...suspects];
  const restsOnGeometry = ({ cause, evidence }: Suspect): boolean =>
    (cause === 'all-low' || (signatures.length === 1 && isLeak(cause))) &&
    !evidence.some(({ code }) => SECOND_WITNESS.includes(code));
  const total = suspects.filter(restsOnGeometry).reduce((sum, one) => sum + one.confidence, 0);
  const share = Math.min(1, GEOMETRY_ALONE / total);
  return suspects.map((one) => (restsOnGeometry(one) ? { ...one, confidence: one.confidence * share } : one));
}
