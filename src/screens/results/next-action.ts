/** What to do after a test: one step, from its judgement. Pure. */
import type { EvidenceCode } from '../../../worker/core/evidence.ts';
import type { NextStep } from '../../../worker/core/judgement.ts';
import type { LoadedTest } from '../../library/library.ts';
import { notMeasuredYet, unitDoubt } from '../compression-test/plausibility.ts';

/**
 * - `measure`: cylinders without a reading. `again`: cylinders whose reading cannot be used.
 * - `wet`: cylinders to test again with oil.
 * - `follow`: instructions to read and carry out.
 * - `report`: nothing is left to do.
 */
export type NextAction =
  | { readonly kind: 'measure' | 'again' | 'wet'; readonly cylinders: readonly number[] }
  | { readonly kind: 'follow'; readonly step: NextStep }
  | { readonly kind: 'report' };

/** Steps that come before measuring what is left: a bad hose or something broken makes further readings useless. */
const FIRST_OF_ALL: readonly NextStep[] = ['try-another-hose', 'ask-a-professional'];

/** What would tell where the manual's minimum cannot be compared. */
const STEP_OF: Readonly<Partial<Record<EvidenceCode, NextStep>>> = {
  'minimum-on-open-hose': 'repeat-with-check-valve',
  'minimum-without-barometer': 'enter-barometer',
};

/** The next step; `null` while the figures themselves are in doubt, or their analysis has to be repeated. */
export function nextAction(loaded: LoadedTest): NextAction | null {
  const { judgement, counting } = loaded;
  const { verdict, suspects, reasons, wetRetest } = judgement;
  const unread = reasons.some(({ code }) => code === 'reading-not-analysed');
  if (unread || unitDoubt(loaded)) return null;
  const suspect = verdict === 'sound' ? undefined : suspects[0];
  const step = suspect?.nextStep;
  if (step && FIRST_OF_ALL.includes(step)) return { kind: 'follow', step };
  const missing = notMeasuredYet(loaded);
  if (missing.length > 0) return { kind: 'measure', cylinders: missing };
  if (suspect && step === 'wet-test') {
    const dry = suspect.cylinders.filter((cylinder) => !counting.wet.has(cylinder));
    const cylinders = wetRetest.length > 0 ? wetRetest : dry;
    return cylinders.length > 0 ? { kind: 'wet', cylinders } : { kind: 'follow', step: 'leak-down' };
  }
  if (step) return { kind: 'follow', step };
  const unusable = reasons.flatMap((one) => (one.code === 'reading-unusable' ? [one.values.cylinder] : []));
  if (unusable.length > 0) return { kind: 'again', cylinders: unusable };
  if (wetRetest.length > 0) return { kind: 'wet', cylinders: wetRetest };
  const untold = reasons.map(({ code }) => STEP_OF[code]).find((one) => one !== undefined);
  if (verdict === 'cannot-tell' && untold) return { kind: 'follow', step: untold };
  // Without the manual's minimum there is no verdict on a rotor, however often it is measured.
  const isUnjudged = verdict === 'cannot-tell' && reasons.some(({ code }) => code === 'rotor-no-manual');
  return verdict === 'sound' || isUnjudged ? { kind: 'report' } : { kind: 'follow', step: 'repeat-test' };
}
