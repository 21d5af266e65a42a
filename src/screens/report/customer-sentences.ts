/** The three sentences of a report for a customer. They never claim more than the judgement does. Pure. */
import { isRotary } from '../../../worker/core/engine.ts';
import type { Suspect } from '../../../worker/core/judgement.ts';
import { cylindersInsideWords } from '../../../worker/words/sentences.ts';
import type { Reader } from '../../components/reader.ts';
import type { LoadedTest } from '../../library/library.ts';
import { isTypedSuspect } from '../compression-test/known-figures.ts';
import { unitDoubt } from '../compression-test/plausibility.ts';
import { causeWords, indistinctFrom, readerOf } from '../compression-test/verdict-words.ts';
import { confidenceLevel, confidenceWords } from '../results/result-words.ts';

/** One sentence each: the finding, its certainty with the likeliest cause, and the next step. */
export interface CustomerSentences {
  readonly found: string;
  readonly sure: string;
  readonly next: string;
}

/** The sentences for a test with at least one take. */
export function customerSentences(loaded: LoadedTest, anyReader: Reader): CustomerSentences {
  const reader = isRotary(loaded.engine.facts) ? customerOfRotors(loaded, anyReader) : anyReader;
  const words = reader.t.customer;
  if (unitDoubt(loaded)) return { found: words.foundUnit, sure: words.sureUnit, next: words.nextUnit };
  return { found: found(loaded, reader), sure: sure(loaded, reader), next: next(loaded, reader) };
}

/** The reader with the sentences for rotors, and with seals in words for someone who does not know a rotor's parts. */
function customerOfRotors(loaded: LoadedTest, anyReader: Reader): Reader {
  const reader = readerOf(loaded, anyReader);
  const { t } = reader;
  const { ofRotors, withoutManual, nextRotorsLow, seal } = t.customer;
  const isWithoutManual = loaded.judgement.reasons.some(({ code }) => code === 'rotor-no-manual');
  const nextStep = { ...t.customer.nextStep, 'ask-a-professional': nextRotorsLow };
  const customer = { ...t.customer, ...ofRotors, ...(isWithoutManual && withoutManual), nextStep };
  return { ...reader, t: { ...t, cause: { ...t.cause, ...seal }, customer } };
}

const inside = (cylinders: readonly number[], reader: Reader) => ({
  n: cylinders.length,
  where: reader.cylinders(cylinders),
  inside: cylindersInsideWords(cylinders, reader),
});

function found({ judgement }: LoadedTest, reader: Reader): string {
  const { t, say } = reader;
  const { verdict, cylinders, suspects } = judgement;
  const having = (wanted: 'fault' | 'watch') =>
    cylinders.filter((one) => one.verdict === wanted).map((one) => one.cylinder);
  const measured = cylinders.filter(({ finalKpa }) => finalKpa !== null).length;
  switch (verdict) {
    case 'sound':
      return say(t.customer.foundSound, { n: measured });
    case 'fault':
      return say(t.customer.foundFault, inside(having('fault'), reader));
    case 'watch': {
      const doubtful = having('watch');
      const where = doubtful.length > 0 ? doubtful : (suspects[0]?.cylinders ?? []);
      return say(t.customer.foundWatch, inside(where, reader));
    }
    case 'cannot-tell':
      return measured < cylinders.length
        ? say(t.customer.foundPart, { n: measured, of: cylinders.length })
        : t.customer.foundNothing;
  }
}

function sure(loaded: LoadedTest, reader: Reader): string {
  const { judgement } = loaded;
  const words = reader.t.customer;
  const { verdict, suspects, reasons } = judgement;
  const [suspect] = suspects;
  if (verdict === 'sound') {
    if (suspect && isOfCylinders(suspect))
      return reader.say(words.sureOther, valuesOf(suspect, loaded, reader));
    return reasons.some(({ code }) => code === 'level-not-known') ? words.sureCompared : words.sureSound;
  }
  if (!suspect) return verdict === 'cannot-tell' ? words.sureCannot : words.sureNone;
  if (suspect.cause === 'rig-leak') return reader.say(words.sureRig, valuesOf(suspect, loaded, reader));
  if (verdict === 'cannot-tell') {
    return isOfCylinders(suspect)
      ? reader.say(words.sureCannotSuspect, valuesOf(suspect, loaded, reader))
      : words.sureCannot;
  }
  if (suspect.cause === 'all-low') return reader.say(words.sureAllLow, valuesOf(suspect, loaded, reader));
  const level = confidenceLevel(suspect.confidence);
  const other = indistinctFrom(judgement, suspect);
  if (other && level !== 'little') {
    const named = { other: causeInside(other, reader), otherShare: shareOf(other, loaded) };
    const cause = causeInside(suspect, reader);
    return reader.say(words.sureEither, { ...valuesOf(suspect, loaded, reader), ...named, cause });
  }
  const second = suspects.find((one) => isElsewhere(one, suspect));
  const also = second && reader.say(words.also, valuesOf(second, loaded, reader));
  return reader.say(words.sureCause[level], { ...valuesOf(suspect, loaded, reader), also });
}

/** Whether a suspect is worth a mention beside the first: at least possible, and in other cylinders. */
const isElsewhere = (one: Suspect, first: Suspect): boolean =>
  isOfCylinders(one) &&
  confidenceLevel(one.confidence) !== 'little' &&
  !one.cylinders.some((cylinder) => first.cylinders.includes(cylinder));

/** Whether the cause is a fault of certain cylinders. */
const isOfCylinders = ({ cause }: Suspect): boolean => cause !== 'all-low' && cause !== 'rig-leak';

const causeInside = ({ cause }: Suspect, { t, tongue }: Reader): string =>
  t.cause[cause].toLocaleLowerCase(tongue);

const valuesOf = (suspect: Suspect, loaded: LoadedTest, reader: Reader) => ({
  ...inside(suspect.cylinders, reader),
  cause: causeWords(loaded, suspect, reader).toLocaleLowerCase(reader.tongue),
  share: shareOf(suspect, loaded),
  chance: confidenceWords(suspect.confidence, isTypedSuspect(loaded, suspect), reader),
});

/** A dial gauge does not carry a percentage: `null`. */
const shareOf = (suspect: Suspect, loaded: LoadedTest): number | null =>
  isTypedSuspect(loaded, suspect) ? null : suspect.confidence;

function next({ judgement }: LoadedTest, reader: Reader): string {
  const { t, say } = reader;
  const { verdict, cylinders, suspects, wetRetest } = judgement;
  const [suspect] = suspects;
  if (verdict === 'sound') return t.customer.nextSound;
  if (suspect && (verdict !== 'cannot-tell' || suspect.cause === 'rig-leak')) {
    const isSeal = suspect.cause in t.customer.seal;
    const step = isSeal ? t.customer.nextSeal : t.customer.nextStep[suspect.nextStep];
    return say(step, inside(suspect.cylinders, reader));
  }
  const lacking = cylinders.filter(({ finalKpa }) => finalKpa === null).map(({ cylinder }) => cylinder);
  if (verdict === 'cannot-tell') {
    return lacking.length > 0 ? say(t.customer.nextMissing, inside(lacking, reader)) : t.customer.nextEngine;
  }
  if (wetRetest.length > 0) return say(t.customer.nextStep['wet-test'], inside(wetRetest, reader));
  const doubtful = cylinders.filter((one) => one.verdict === verdict).map(({ cylinder }) => cylinder);
  return say(t.customer.nextStep['repeat-test'], inside(doubtful, reader));
}
