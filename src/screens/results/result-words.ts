/** Short texts on a judgement for the results: confidence, implausible figures, what is not there. Pure. */
import type { EngineGeometry } from '../../../worker/core/engine.ts';
import { ROTOR_RPM } from '../../../worker/core/judge/rotor-speed.ts';
import type { Judgement, RotorJudgement } from '../../../worker/core/judgement.ts';
import type { TwoStrokeRatio } from '../../../worker/core/physics/stated-ratio.ts';
import type { Reader } from '../../components/reader.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { unitDoubt } from '../compression-test/plausibility.ts';
import { ruleName } from '../compression-test/rule-words.ts';

/**
 * A confidence, 0 to 1, in words and as a figure. In words only where the readings were typed: a dial gauge does not
 * carry a percentage.
 */
export function confidenceWords(share: number, isTyped: boolean, reader: Reader): string {
  const { t, say } = reader;
  const words = t.confidence[confidenceLevel(share)];
  return isTyped ? words : say(t.results.chance, { words, share });
}

/** Which words describe a confidence, 0 to 1. */
export const confidenceLevel = (share: number): keyof Reader['t']['confidence'] =>
  share >= 0.9 ? 'high' : share >= 0.65 ? 'good' : share >= 0.35 ? 'some' : 'little';

/** That the rule is kept, for a verdict `watch` by a suspect alone; else `null`. */
export function ruleKeptWords(judgement: Judgement, reader: Reader): string | null {
  const { verdict, reasons, lowToHighRatio: ratio, spreadKpa, rule, ruleSpreadKpa, rotors } = judgement;
  const isShare = rule === 'percent-of-highest';
  const isSpread = ruleSpreadKpa !== null;
  const isBroken = reasons.some(({ code }) => code.startsWith('beyond-'));
  // No rule is in force for rotors.
  if (verdict !== 'watch' || isBroken || ratio === null || rotors) return null;
  const name = ruleName({ code: rule, maxSpreadKpa: ruleSpreadKpa ?? undefined }, reader);
  return reader.say(reader.t.results.ruleKept, {
    rule: name,
    ratio: isShare ? ratio : null,
    spreadKpa: isSpread ? spreadKpa : null,
  });
}

/** Dimensions that the leak sizes need and the card lacks. */
export const missingDimensions = (geometry: EngineGeometry) =>
  (['boreMm', 'strokeMm', 'compressionRatio'] as const).filter((one) => geometry[one] === undefined);

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

/** The three faces of a rotor in one line, with the plus-minus; `null` where one figure was typed. */
export function facesWords({ cylinder, rpm, faces }: RotorJudgement, { t, say, list, pressure }: Reader) {
  if (faces.length === 0) return null;
  return say(t.rotary.faces, {
    n: cylinder,
    atRpm: rpm === null ? null : ROTOR_RPM,
    list: list(faces.map((face) => pressure(face.at250Kpa, face.at250PlusMinusKpa))),
  });
}

/** How the compression ratio of a two-stroke was taken, and what was assumed. */
export function twoStrokeWords(ratio: TwoStrokeRatio, { t, say }: Reader): string {
  const from = t.results.ratioFrom[ratio.from];
  return [
    say(ratio.isFromStated ? t.results.ratioStated : t.results.ratioAssumed, { from }),
    say(ratio.isPortStated ? t.results.portStated : t.results.portAssumed, { deg: ratio.portClosesDegAbdc }),
  ].join(' ');
}
