/**
 * Evidence from the plugs. The meaning of each sign is common practice, no source. How often each fault shows on the
 * plug has not been published, so a finding shifts a confidence and never makes a suspect or a verdict.
 */
import { asEvidence, type Evidence } from '../evidence.ts';
import type { Cause, Suspect } from '../judgement.ts';
import type { PlugFinding, PlugSign } from '../plugs.ts';
import { isCylinderFault, traitsOf } from './faults.ts';

/** Likelihood ratio of a sign for a cause; 1 where it is no evidence. */
const oddsOf = (sign: PlugSign, cause: Cause): number =>
  (isCylinderFault(cause) ? traitsOf(cause).plugs[sign] : undefined) ?? 1;

/** Largest shift of the odds by any number of signs; its inverse is the smallest. */
const MOST_SHIFT = 1.6;

/** Upper limit of every confidence: the fault has not been seen. */
const MOST_CONFIDENCE = 0.99;

const clamped = (odds: number): number => Math.min(MOST_SHIFT, Math.max(1 / MOST_SHIFT, odds));

/**
 * Suspects after the plug findings, most likely first. Confidences shift by Bayes' rule among the causes that share
 * cylinders, and evidence for or against is added. Returns `suspects` itself without findings.
 */
export function withPlugs(suspects: readonly Suspect[], plugs: readonly PlugFinding[]): readonly Suspect[] {
  const findings = new Map(plugs.filter((one) => one.signs.length > 0).map((one) => [one.cylinder, one]));
  if (findings.size === 0) return suspects;
  const shifts = suspects.map((suspect) => shiftOf(suspect, findings));
  return suspects
    .map((suspect, i): Suspect => {
      const own = suspect.cylinders.flatMap((cylinder) => findings.get(cylinder) ?? []);
      const shown = own.flatMap((finding) => evidenceOf(suspect.cause, finding));
      // Normalisation over every cause that would explain the same cylinders, and over no fault.
      const total = suspects.reduce(
        (sum, other, k) => (sharesCylinder(suspect, other) ? sum + other.confidence * (shifts[k]! - 1) : sum),
        1,
      );
      return {
        ...suspect,
        confidence: Math.min(
          MOST_CONFIDENCE,
          (suspect.confidence * shifts[i]!) / Math.max(total, 1 / MOST_SHIFT),
        ),
        evidence: [
          ...suspect.evidence,
          ...shown.filter(({ odds }) => odds > 1).map(({ evidence }) => evidence),
        ],
        against: [
          ...suspect.against,
          ...shown.filter(({ odds }) => odds < 1).map(({ evidence }) => evidence),
        ],
      };
    })
    .sort((a, b) => b.confidence - a.confidence);
}

const sharesCylinder = (a: Suspect, b: Suspect): boolean =>
  a.cylinders.some((one) => b.cylinders.includes(one));

/** Geometric mean of the odds over its cylinders: two plugs behind one gasket are evidence of one fault. */
function shiftOf(suspect: Suspect, findings: ReadonlyMap<number, PlugFinding>): number {
  if (suspect.cylinders.length === 0) return 1;
  const ln = suspect.cylinders.reduce((sum, cylinder) => {
    const signs = findings.get(cylinder)?.signs ?? [];
    return sum + signs.reduce((inner, sign) => inner + Math.log(oddsOf(sign, suspect.cause)), 0);
  }, 0);
  return clamped(Math.exp(ln / suspect.cylinders.length));
}

function evidenceOf(cause: Cause, { cylinder, signs }: PlugFinding): { odds: number; evidence: Evidence }[] {
  return signs.flatMap((sign) => {
    const odds = oddsOf(sign, cause);
    return odds === 1 ? [] : [{ odds, evidence: asEvidence(`plug-${sign}`, { cylinder }) }];
  });
}
