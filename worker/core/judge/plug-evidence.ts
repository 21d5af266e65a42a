/**
 * What the plugs say beside the pressures. Which sign points where is common practice, no source; no one has published how
 * often each fault shows on the plug, so a look shifts a confidence and never makes a suspect or a verdict.
 */
import { asEvidence, type Evidence } from '../evidence.ts';
import type { Cause, Suspect } from '../judgement.ts';
import type { PlugFinding, PlugSign } from '../plugs.ts';

/**
 * How many times likelier a sign is where a cause is at work than where it is not. Common practice, no source; the figures
 * are the author's own, small on purpose.
 */
const ODDS: Readonly<Record<PlugSign, Readonly<Partial<Record<Cause, number>>>>> = {
  normal: { 'ring-wear': 0.75, 'head-gasket': 0.8, carbon: 0.85 },
  oily: { 'ring-wear': 1.5 },
  ash: { 'ring-wear': 1.25, carbon: 1.25 },
  'dry-soot': { carbon: 1.25 },
  'wet-fuel': { 'ring-wear': 1.1, 'valve-leak': 1.2, 'head-gasket': 1.1 },
  blistered: { 'valve-leak': 1.25, carbon: 1.15, 'head-gasket': 1.15 },
  // Wear of the plug itself says nothing about what seals the cylinder.
  'electrode-worn': {},
  'gap-wide': {},
};

/** However many signs agree, odds shift by no more than this, and by no less than its inverse. */
const MOST_SHIFT = 1.6;

/** As of every suspect: nobody is surer of a fault they have not seen. */
const MOST_CONFIDENCE = 0.99;

const clamped = (odds: number): number => Math.min(MOST_SHIFT, Math.max(1 / MOST_SHIFT, odds));

/**
 * The suspects as the plugs leave them, most likely first: confidence shifted by Bayes' rule among the causes that share
 * cylinders, and a sentence for or against. Without findings they are handed back as they are.
 */
export function withPlugs(suspects: readonly Suspect[], plugs: readonly PlugFinding[]): readonly Suspect[] {
  const told = new Map(plugs.filter((one) => one.signs.length > 0).map((one) => [one.cylinder, one]));
  if (told.size === 0) return suspects;
  const shifts = suspects.map((suspect) => shiftOf(suspect, told));
  return suspects
    .map((suspect, i): Suspect => {
      const findings = suspect.cylinders.flatMap((cylinder) => told.get(cylinder) ?? []);
      const said = findings.flatMap((finding) => evidenceOf(suspect.cause, finding));
      // What is weighed against it: every cause that would explain the same cylinders, and none of them.
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
          ...said.filter(({ odds }) => odds > 1).map(({ evidence }) => evidence),
        ],
        against: [...suspect.against, ...said.filter(({ odds }) => odds < 1).map(({ evidence }) => evidence)],
      };
    })
    .sort((a, b) => b.confidence - a.confidence);
}

const sharesCylinder = (a: Suspect, b: Suspect): boolean =>
  a.cylinders.some((one) => b.cylinders.includes(one));

/** Odds by all its cylinders, as their geometric mean: two plugs behind one gasket tell of one fault. */
function shiftOf(suspect: Suspect, told: ReadonlyMap<number, PlugFinding>): number {
  if (suspect.cylinders.length === 0) return 1;
  const ln = suspect.cylinders.reduce((sum, cylinder) => {
    const signs = told.get(cylinder)?.signs ?? [];
    return sum + signs.reduce((inner, sign) => inner + Math.log(ODDS[sign][suspect.cause] ?? 1), 0);
  }, 0);
  return clamped(Math.exp(ln / suspect.cylinders.length));
}

function evidenceOf(cause: Cause, { cylinder, signs }: PlugFinding): { odds: number; evidence: Evidence }[] {
  return signs.flatMap((sign) => {
    const odds = ODDS[sign][cause];
    return odds === undefined ? [] : [{ odds, evidence: asEvidence(`plug-${sign}`, { cylinder }) }];
  });
}
