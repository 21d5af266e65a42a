/** Short texts for the result of a test. Pure. */
import { type EngineFacts, isRotary, type ManualLimits } from '../../../worker/core/engine.ts';
import type { Judgement, Suspect } from '../../../worker/core/judgement.ts';
import { cylindersOf } from '../../../worker/core/layouts.ts';
import { cylindersInsideWords, namingRotors } from '../../../worker/words/sentences.ts';
import type { Reader } from '../../components/reader.ts';
import type { LoadedTest } from '../../library/library.ts';
import { takenAt } from '../../library/test-date.ts';
import { isTypedSuspect } from './known-figures.ts';
import { notMeasuredYet, unitDoubt } from './plausibility.ts';

/** The reader with rotors in place of cylinders for a rotary engine. */
export const readerOf = ({ engine }: LoadedTest, reader: Reader): Reader =>
  isRotary(engine.facts) ? rotorReader(reader) : reader;

/** The reader with rotors in place of cylinders. */
function rotorReader(reader: Reader): Reader {
  const named = namingRotors(reader);
  const { say, list, t } = named;
  return {
    ...named,
    t: { ...t, cause: { ...t.cause, 'all-low': t.allRotorsLow } },
    cylinders: (numbers) => say(t.rotors, { n: numbers.length, list: list(numbers) }),
  };
}

/** The sentence that sums up a judgement. */
export function verdictSentence(loaded: LoadedTest, anyReader: Reader): string {
  const reader = readerOf(loaded, anyReader);
  const { t, say } = reader;
  const isRotor = isRotary(loaded.engine.facts);
  const { judgement } = loaded;
  const verdict = t.verdict[judgement.verdict];
  const suspect = judgement.suspects[0];
  if (suspect && judgement.verdict !== 'sound') {
    if (suspect.cause === 'rig-leak') return say(t.verdictSentence.withRig, { verdict });
    if (suspect.cause === 'all-low')
      return say(isRotor ? t.verdictSentence.withAllRotorsLow : t.verdictSentence.withAllLow, { verdict });
    return say(t.verdictSentence.withSuspect, { verdict, ...suspectValues(loaded, suspect, reader) });
  }
  if (judgement.verdict === 'sound' && unitDoubt(loaded)) return say(t.verdictSentence.withUnit, { verdict });
  const outside = judgement.cylinders.filter((one) => one.verdict === 'fault').length;
  const measured = judgement.cylinders.filter((one) => one.finalKpa !== null).length;
  const sentence =
    isRotor && judgement.verdict === 'fault'
      ? t.verdictSentence.rotorFault
      : isRotor && judgement.verdict === 'sound'
        ? t.verdictSentence.rotorSound
        : t.verdictSentence[judgement.verdict];
  return say(sentence, { n: judgement.verdict === 'fault' ? outside : measured });
}

/** Result of a test for a list: `Sound, 3 weeks ago`, `Cylinder 3: worn rings suspected, yesterday`. */
export function testInWords(loaded: LoadedTest, anyReader: Reader): string {
  const reader = readerOf(loaded, anyReader);
  const { t, say } = reader;
  const { judgement, test } = loaded;
  const since = reader.since(takenAt(test));
  if (loaded.takes.length === 0) return say(t.engines.nothingMeasured, { since });
  if (unitDoubt(loaded)) return say(t.engines.unitInWords, { verdict: t.verdict[judgement.verdict], since });
  const suspect = judgement.suspects[0];
  if (suspect && judgement.verdict !== 'sound') {
    if (suspect.cause === 'all-low' || suspect.cause === 'rig-leak') {
      return say(t.engines.testInWords, { verdict: t.cause[suspect.cause], since });
    }
    const cause = causeWords(loaded, suspect, reader).toLocaleLowerCase(reader.tongue);
    return say(t.engines.suspectInWords, { where: reader.cylinders(suspect.cylinders), cause, since });
  }
  const left = notMeasuredYet(loaded).length;
  const of = judgement.cylinders.length;
  if (judgement.verdict === 'cannot-tell' && left > 0)
    return say(t.engines.partMeasured, { n: of - left, of, since });
  return say(t.engines.testInWords, { verdict: t.verdict[judgement.verdict], since });
}

function suspectValues(loaded: LoadedTest, suspect: Suspect, reader: Reader) {
  return {
    cause: causeWords(loaded, suspect, reader),
    where: cylindersInsideWords(suspect.cylinders, reader),
  };
}

/** Above this fraction of the first suspect's confidence, a second cause is not distinguished from it. */
const INDISTINCT_SHARE = 0.6;

/** The suspect of another cause in the same cylinders that the test does not distinguish from `first`, if any. */
export const indistinctFrom = ({ suspects }: Judgement, first: Suspect): Suspect | undefined =>
  suspects.find(
    (one) =>
      one !== first &&
      one.cylinders.join() === first.cylinders.join() &&
      one.confidence > INDISTINCT_SHARE * first.confidence,
  );

/**
 * The likeliest cause, or both when two are indistinguishable: naming one would be a guess. Dial readings do not tell a
 * leaking valve from gasket and piston.
 */
export function causeWords(loaded: LoadedTest, first: Suspect, { t, say, tongue }: Reader): string {
  const other = indistinctFrom(loaded.judgement, first);
  if (!other) {
    const isUnsure = first.cause === 'valve-leak' && isTypedSuspect(loaded, first);
    return isUnsure ? t.verdictSentence.valveOrAlike : t.cause[first.cause];
  }
  const otherCause = t.cause[other.cause].toLocaleLowerCase(tongue);
  return say(t.verdictSentence.eitherCause, { cause: t.cause[first.cause], otherCause });
}

/**
 * Whether all cylinders are within the manual's limits but too far apart. Comparing each cylinder with the limits
 * misses this.
 */
export function isWithinButApart(
  { cylinders, reasons }: Judgement,
  { minKpa, maxKpa }: ManualLimits,
): boolean {
  if (minKpa === undefined && maxKpa === undefined) return false;
  const finals = cylinders.map((one) => one.finalKpa).filter((kpa) => kpa !== null);
  const isWithin = finals.every((kpa) => kpa >= (minKpa ?? 0) && kpa <= (maxKpa ?? Number.POSITIVE_INFINITY));
  return isWithin && reasons.some((reason) => reason.code.startsWith('beyond-'));
}

/** Layout, cycle and fuel in one line: `In line 4, 4-stroke, spark`. */
export function layoutWords(facts: EngineFacts, { t, say }: Reader): string {
  return say(t.layoutLine, {
    kind: t.layoutKind[facts.layout.kind],
    count: cylindersOf(facts.layout).length,
    cycle: isRotary(facts) ? null : t.cycle[facts.cycle],
    fuel: t.fuel[facts.fuel],
  });
}
