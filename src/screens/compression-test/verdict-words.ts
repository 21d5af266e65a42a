/** What a test came to, in a few words. Pure. */
import type { EngineFacts, ManualLimits } from '../../../worker/core/engine.ts';
import type { Judgement, Suspect } from '../../../worker/core/judgement.ts';
import { cylindersOf } from '../../../worker/core/layouts.ts';
import { cylindersInsideWords } from '../../../worker/words/sentences.ts';
import type { Reader } from '../../components/reader.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { notMeasuredYet, unitDoubt } from './plausibility.ts';

/** The one sentence that a judgement comes to. */
export function verdictSentence(loaded: LoadedTest, reader: Reader): string {
  const { t, say } = reader;
  const { judgement } = loaded;
  const verdict = t.verdict[judgement.verdict];
  const suspect = judgement.suspects[0];
  if (suspect && judgement.verdict !== 'sound') {
    if (suspect.cause === 'rig-leak') return say(t.verdictSentence.withRig, { verdict });
    if (suspect.cause === 'all-low') return say(t.verdictSentence.withAllLow, { verdict });
    return say(t.verdictSentence.withSuspect, { verdict, ...suspectValues(judgement, suspect, reader) });
  }
  if (judgement.verdict === 'sound' && unitDoubt(loaded)) return say(t.verdictSentence.withUnit, { verdict });
  const outside = judgement.cylinders.filter((one) => one.verdict === 'fault').length;
  const measured = judgement.cylinders.filter((one) => one.finalKpa !== null).length;
  return say(t.verdictSentence[judgement.verdict], { n: judgement.verdict === 'fault' ? outside : measured });
}

/** For a list: `Sound, 3 weeks ago`, `Cylinder 3: worn rings suspected, yesterday`. */
export function testInWords(loaded: LoadedTest, reader: Reader): string {
  const { t, say } = reader;
  const { judgement, test } = loaded;
  const since = reader.since(test.startedAt);
  if (loaded.takes.length === 0) return say(t.engines.nothingMeasured, { since });
  if (unitDoubt(loaded)) return say(t.engines.unitInWords, { verdict: t.verdict[judgement.verdict], since });
  const suspect = judgement.suspects[0];
  if (suspect && judgement.verdict !== 'sound') {
    if (suspect.cause === 'all-low' || suspect.cause === 'rig-leak') {
      return say(t.engines.testInWords, { verdict: t.cause[suspect.cause], since });
    }
    const cause = causeWords(judgement, suspect, reader).toLocaleLowerCase(reader.tongue);
    return say(t.engines.suspectInWords, { where: reader.cylinders(suspect.cylinders), cause, since });
  }
  const left = notMeasuredYet(loaded).length;
  const of = judgement.cylinders.length;
  if (judgement.verdict === 'cannot-tell' && left > 0)
    return say(t.engines.partMeasured, { n: of - left, of, since });
  return say(t.engines.testInWords, { verdict: t.verdict[judgement.verdict], since });
}

function suspectValues(judgement: Judgement, suspect: Suspect, reader: Reader) {
  return {
    cause: causeWords(judgement, suspect, reader),
    where: cylindersInsideWords(suspect.cylinders, reader),
  };
}

/** A suspect with more than this share of the first one's confidence has not been told from it. */
const NOT_TOLD_APART = 0.6;

/** The likeliest cause, or the two that cannot be told apart: naming one of them would be a guess. */
function causeWords({ suspects }: Judgement, first: Suspect, { t, say, tongue }: Reader): string {
  const other = suspects.find(
    (one) =>
      one !== first &&
      one.cylinders.join() === first.cylinders.join() &&
      one.confidence > NOT_TOLD_APART * first.confidence,
  );
  if (!other) return t.cause[first.cause];
  const otherCause = t.cause[other.cause].toLocaleLowerCase(tongue);
  return say(t.verdictSentence.eitherCause, { cause: t.cause[first.cause], otherCause });
}

/** Probability in words, with the figure. */
export function confidenceWords(share: number, reader: Reader): string {
  const { t, say } = reader;
  const { high, good, some, little } = t.confidence;
  const words = share >= 0.9 ? high : share >= 0.65 ? good : share >= 0.35 ? some : little;
  return say(t.results.chance, { words, share });
}

/** Why the figures can hardly be in the unit that they are shown in; `null` where nothing speaks against it. */
export function unitDoubtWords(loaded: LoadedTest, reader: Reader): string | null {
  const doubt = unitDoubt(loaded);
  if (!doubt) return null;
  const { kind, cylinders, limitKpa } = doubt;
  return reader.say(reader.t.results[kind], {
    n: cylinders.length,
    where: reader.cylinders(cylinders),
    limitKpa,
  });
}

/** That nobody is accused: because nothing is wrong, or because nothing points anywhere. */
export const noSuspectsWords = ({ verdict }: Judgement, { t }: Reader): string =>
  verdict === 'sound' ? t.results.noSuspects : t.results.noneStandsOut;

/** Nothing to draw stroke by stroke: because only last figures were typed in, or because no stroke was found. */
export function noStrokesWords(takes: readonly ReadTake[], { t }: Reader): string {
  return takes.some(({ reading }) => reading.finalKpa !== null)
    ? t.results.noStrokes
    : t.results.noStrokesFound;
}

/** Every cylinder keeps the manual's own limits, and yet they lie too far apart: what looking at one at a time misses. */
export function isWithinButApart(
  { cylinders, reasons }: Judgement,
  { minKpa, maxKpa }: ManualLimits,
): boolean {
  if (minKpa === undefined && maxKpa === undefined) return false;
  const finals = cylinders.map((one) => one.finalKpa).filter((kpa) => kpa !== null);
  const isWithin = finals.every((kpa) => kpa >= (minKpa ?? 0) && kpa <= (maxKpa ?? Number.POSITIVE_INFINITY));
  return isWithin && reasons.some((reason) => reason.code.startsWith('beyond-'));
}

/** `In line 4, 4-stroke, spark`. */
export function layoutWords(facts: EngineFacts, { t, say }: Reader): string {
  return say(t.layoutLine, {
    kind: t.layoutKind[facts.layout.kind],
    count: cylindersOf(facts.layout).length,
    cycle: t.cycle[facts.cycle],
    fuel: t.fuel[facts.fuel],
  });
}
