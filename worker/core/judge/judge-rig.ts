/** Leaks of the rig. A hose that does not hold pressure is a suspect before the engine is. */
import { asEvidence } from '../evidence.ts';
import type { Suspect } from '../judgement.ts';
import { hasNotice } from '../reading-quality.ts';
import { readsHigh } from './faults.ts';
import type { Signature } from './signature.ts';

/** Confidence of a rig leak. In most readings: the rig. In few: a badly seated hose, or a mistaken notice. */
const RIG_IN_MOST = 0.9;
const RIG_IN_FEW = 0.5;

const leaks = ({ reading, wet }: Signature): boolean =>
  hasNotice(reading, 'rig-leaks') || (wet !== null && hasNotice(wet, 'rig-leaks'));

const leaksInMost = (signatures: readonly Signature[]): boolean =>
  signatures.filter(leaks).length >= signatures.length / 2;

/** At most one suspect, naming the cylinders whose readings lost pressure. */
export function rigSuspects(signatures: readonly Signature[]): Suspect[] {
  const leaking = signatures.filter(leaks);
  if (leaking.length === 0) return [];
  const most = leaksInMost(signatures);
  // A single leaking reading that is not low has done no harm.
  const highest = Math.max(...signatures.map((one) => one.lnLevel));
  const low = leaking.filter((one) => most || highest - one.lnLevel > 0.1);
  if (low.length === 0) return [];
  return [
    {
      cause: 'rig-leak',
      cylinders: low.map((one) => one.cylinder),
      confidence: most ? RIG_IN_MOST : RIG_IN_FEW,
      evidence: low.map(({ cylinder, reading: { holdLossPerS } }) =>
        asEvidence('pressure-not-held', {
          cylinder,
          ...(holdLossPerS === null ? {} : { lossPerS: holdLossPerS }),
        }),
      ),
      against: most ? [] : [asEvidence('held-elsewhere', { count: signatures.length - leaking.length })],
      nextStep: 'try-another-hose',
    },
  ];
}

/** A suspect with its confidence reduced beside a leaking rig; empty when the rig explains everything. */
export function shareOfBlame(
  suspect: Suspect,
  rig: readonly Suspect[],
  signatures: readonly Signature[],
): Suspect[] {
  const blamed = rig.find((one) => one.cylinders.some((cylinder) => suspect.cylinders.includes(cylinder)));
  if (blamed === undefined || readsHigh(suspect.cause)) return [suspect];
  if (leaksInMost(signatures)) return [];
  return [{ ...suspect, confidence: suspect.confidence * (1 - blamed.confidence) }];
}
