/** Short texts on a judgement for the results: confidence, implausible figures, what is not there. Pure. */
import type { Judgement } from '../../../worker/core/judgement.ts';
import type { Reader } from '../../components/reader.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { unitDoubt } from '../compression-test/plausibility.ts';

/** A confidence, 0 to 1, in words and as a figure. */
export function confidenceWords(share: number, reader: Reader): string {
  const { t, say } = reader;
  return say(t.results.chance, { words: t.confidence[confidenceLevel(share)], share });
}

/** Which words describe a confidence, 0 to 1. */
export const confidenceLevel = (share: number): keyof Reader['t']['confidence'] =>
  share >= 0.9 ? 'high' : share >= 0.65 ? 'good' : share >= 0.35 ? 'some' : 'little';

/** Why the figures are implausible in the unit shown; `null` when they are plausible. */
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

/** Why there is no suspect: nothing is wrong, or nothing points to a cause. */
export const noSuspectsWords = ({ verdict }: Judgement, { t }: Reader): string =>
  verdict === 'sound' ? t.results.noSuspects : t.results.noneStandsOut;

/** Why there are no strokes to draw: only final figures were typed, or no stroke was found. */
export function noStrokesWords(takes: readonly ReadTake[], { t }: Reader): string {
  return takes.some(({ reading }) => reading.finalKpa !== null)
    ? t.results.noStrokes
    : t.results.noStrokesFound;
}
