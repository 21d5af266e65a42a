/** Evidence for and against faults of single cylinders and pairs, each as a code with figures. */

import { asEvidence, type Evidence } from '../evidence.ts';
import { hasNotice } from '../reading-quality.ts';
import { type CylinderFault, isPairFault, traitsOf } from './faults.ts';
import type { Signature } from './signature.ts';
import { featureLikelihood, othersLag, soundScale } from './suspect-likelihood.ts';

/** Evidence for and against one suspect. */
export interface ForAndAgainst {
  readonly evidence: Evidence[];
  readonly against: Evidence[];
}

/** Per cent below, from a difference of natural logarithms: ln 0.9 is 10 % below. */
export const percentBelow = (lnDrop: number): number => (1 - Math.exp(-lnDrop)) * 100;

/** A likelihood ratio closer to 1 than this, or its inverse, is not evidence. */
const TELLING_RATIO = 2;

/** Context of a cylinder within its engine. */
export interface Company {
  readonly signatures: readonly Signature[];
  /** Level of sound cylinders, ln kPa. */
  readonly lnCommon: number;
  readonly manualMaxKpa: number | undefined;
}

/** Evidence for and against a leak of one low cylinder past its rings (`ring`), or past valves or gasket (`leak`). */
function leakEvidence(kind: 'ring' | 'leak', signature: Signature, company: Company): ForAndAgainst {
  const { cylinder } = signature;
  const drop = company.lnCommon - signature.lnLevel;
  const evidence: Evidence[] = [];
  const against: Evidence[] = [];
  (drop < LEAST_DROP ? against : evidence).push(levelEvidence(signature, drop));
  const hoseLag = othersLag(company.signatures, signature);
  const ring = featureLikelihood('ring', Math.max(drop, 0), signature, hoseLag);
  const leak = featureLikelihood('leak', Math.max(drop, 0), signature, hoseLag);
  const place = (ringRatio: number, ifRing: Evidence, ifLeak: Evidence): void => {
    const ratio = kind === 'ring' ? ringRatio : 1 / ringRatio;
    const found = ringRatio >= 1 ? ifRing : ifLeak;
    if (ratio >= TELLING_RATIO) evidence.push(found);
    else if (ratio <= 1 / TELLING_RATIO) against.push(found);
  };
  if (signature.lag !== null) {
    const lagPercent = percentBelow(signature.lag);
    const values = { cylinder, lagPercent };
    place(ring.lag / leak.lag, asEvidence('builds-slowly', values), asEvidence('builds-at-once', values));
  }
  if (signature.wetRise !== null) {
    const risePercent = (Math.exp(signature.wetRise) - 1) * 100;
    const values = { cylinder, risePercent };
    place(ring.wetRise / leak.wetRise, asEvidence('wet-rise', values), asEvidence('wet-no-rise', values));
  }
  against.push(...doubts(signature, drop, company));
  return { evidence, against };
}

/** Smallest drop that counts as low (natural logarithm): half a per cent. */
const LEAST_DROP = 0.005;

function levelEvidence({ cylinder, finalKpa }: Signature, drop: number): Evidence {
  if (drop < LEAST_DROP) {
    return asEvidence('level-with-others', { cylinder, finalKpa });
  }
  const belowPercent = percentBelow(drop);
  return asEvidence('below-others', { cylinder, finalKpa, belowPercent });
}

/** Evidence against the cylinder being low at all. */
function doubts(signature: Signature, drop: number, { signatures }: Company): Evidence[] {
  const { cylinder, reading } = signature;
  const found: Evidence[] = [];
  if (drop < 2.5 * soundScale(signatures)) {
    found.push(asEvidence('small-difference', { cylinder, belowPercent: percentBelow(Math.max(0, drop)) }));
  }
  const speeds = signatures.flatMap((one) => one.reading.crankingRpm ?? []).sort((a, b) => a - b);
  const usual = speeds[Math.floor(speeds.length / 2)];
  if (reading.crankingRpm !== null && usual !== undefined && reading.crankingRpm < 0.9 * usual) {
    found.push(asEvidence('cranked-slower', { cylinder, rpm: reading.crankingRpm, othersRpm: usual }));
  }
  if (hasNotice(reading, 'rig-leaks')) {
    found.push(asEvidence('pressure-not-held', { cylinder }));
  }
  return found;
}

/** Evidence for one gasket leak between two neighbours. */
function gasketEvidence(a: Signature, b: Signature, company: Company): ForAndAgainst {
  const each = [a, b].map((one) => leakEvidence('leak', one, company));
  const differencePercent = Math.abs(percentBelow(a.lnLevel - b.lnLevel));
  const values = { cylinder: a.cylinder, neighbour: b.cylinder, differencePercent };
  const isAlike = differencePercent < 15;
  return {
    evidence: [
      ...(isAlike ? [asEvidence('neighbours-alike', values)] : []),
      ...each.flatMap((one) => one.evidence),
    ],
    against: [
      ...(isAlike ? [] : [asEvidence('neighbours-unlike', values)]),
      ...each.flatMap((one) => one.against),
    ],
  };
}

function carbonEvidence(signature: Signature, company: Company): ForAndAgainst {
  const { cylinder, finalKpa } = signature;
  const abovePercent = (Math.exp(signature.lnLevel - company.lnCommon) - 1) * 100;
  const evidence: Evidence[] = [asEvidence('above-others', { cylinder, finalKpa, abovePercent })];
  const against: Evidence[] = [];
  const maxKpa = company.manualMaxKpa;
  if (maxKpa !== undefined) {
    const values = { cylinder, finalKpa, maxKpa };
    if (finalKpa > maxKpa) {
      evidence.push(asEvidence('above-manual-max', values));
    } else {
      against.push(asEvidence('within-manual-max', values));
    }
  }
  return { evidence, against };
}

/** Evidence for and against one fault shared by all of `suspected`. A gasket takes the first two. */
export function evidenceFor(
  fault: CylinderFault,
  suspected: readonly Signature[],
  company: Company,
): ForAndAgainst {
  if (isPairFault(fault)) return gasketEvidence(suspected[0]!, suspected[1]!, company);
  const { effect } = traitsOf(fault);
  const each = suspected.map((one) =>
    effect === 'space' ? carbonEvidence(one, company) : leakEvidence(effect, one, company),
  );
  return {
    evidence: each.flatMap((one) => one.evidence),
    against: each.flatMap((one) => one.against),
  };
}
