/** What the judgement rests on, in sentences: the same about several cylinders is said once. Pure. */
import type { Evidence } from '../../../worker/core/judgement.ts';
import { alike, gatherFigures } from '../../components/gather.ts';
import type { Reader } from '../../components/reader.ts';
import { namesIn } from '../../copy/fill.ts';
import { whereWords } from './test-words.ts';

/** In how much the cylinders of one sentence may differ; limits are those of each. */
const OWN_FIGURES: ReadonlySet<string> = new Set([
  'cylinder',
  'finalKpa',
  'readingKpa',
  'seaLevelKpa',
  'belowPercent',
  'abovePercent',
  'lagPercent',
  'risePercent',
  'lossPerS',
  'rpm',
]);

/**
 * A sentence each, but one for several cylinders of which the same is found, where it asks for `where` or `inside`. A code
 * that has no words yet is said as the analysis says it.
 */
export function evidenceWords(all: readonly Evidence[], reader: Reader): string[] {
  return alike(all, (one) => kindOf(one, reader))
    .flatMap(near)
    .map((same) => {
      const [first] = same;
      const sentence = reader.t.evidence[first!.code];
      if (sentence === undefined) return first!.detail;
      const values = gatherFigures(same.map((one) => one.values));
      const cylinders = same.map((one) => one.values.cylinder).filter((one) => one !== undefined);
      return reader.say(sentence, {
        ...values,
        n: cylinders.length,
        where: reader.cylinders(cylinders),
        inside: whereWords(cylinders, reader),
      });
    });
}

/** Readings further apart than this share of the lower one are not told as one range. */
const ONE_RANGE = 0.1;

/** In groups that read about the same; what has no reading in it stays together. */
function near(same: readonly Evidence[]): Evidence[][] {
  const groups: Evidence[][] = [];
  for (const one of same) {
    const { finalKpa = 0 } = one.values;
    const group = groups.find(([first]) => {
      const other = first!.values.finalKpa ?? 0;
      return Math.abs(finalKpa - other) <= ONE_RANGE * Math.min(finalKpa, other);
    });
    if (group) group.push(one);
    else groups.push([one]);
  }
  return groups;
}

function kindOf({ code, values, detail }: Evidence, reader: Reader): string {
  const sentence = reader.t.evidence[code];
  const isOfMany =
    sentence !== undefined && namesIn(sentence).some((name) => name === 'where' || name === 'inside');
  if (!isOfMany) return `${code} ${detail}`;
  const shared = Object.entries(values).map(([name, value]) =>
    OWN_FIGURES.has(name) ? name : [name, value],
  );
  return [code, ...shared].join();
}
