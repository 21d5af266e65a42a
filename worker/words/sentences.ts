/** Notices and evidence as finished sentences; the same about several cylinders is said once. Pure. */
import type { Evidence, EvidenceCode } from '../core/evidence.ts';
import type { Notice, NoticeCode } from '../core/notice.ts';
import { namesIn, type Values } from './fill.ts';
import { alike, gatherFigures } from './gather.ts';

/** The words of one language, and how this reader wants them filled. */
export interface SentenceReader {
  readonly t: {
    readonly notice: Readonly<Record<NoticeCode, string>>;
    readonly evidence: Readonly<Record<EvidenceCode, string>>;
    readonly cylinders: string;
    readonly cylindersInside: string;
  };
  say(sentence: string, values?: Values): string;
  list(items: readonly number[]): string;
}

/** `Cylinder 3`, `Cylinders 2 and 3`, for the start of a sentence. */
const cylindersWords = (cylinders: readonly number[], { t, say, list }: SentenceReader): string =>
  say(t.cylinders, { n: cylinders.length, list: list(cylinders) });

/** `cylinder 3`, `cylinders 2 and 3`, for the middle of a sentence. */
export const cylindersInsideWords = (
  cylinders: readonly number[],
  { t, say, list }: SentenceReader,
): string => say(t.cylindersInside, { n: cylinders.length, list: list(cylinders) });

/** Notices of one code as one sentence. */
export const noticeWords = ({ t, say }: SentenceReader, ...notices: readonly [Notice, ...Notice[]]): string =>
  say(t.notice[notices[0].code], gatherFigures(notices.map(({ values }) => values)));

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

/** One figure of evidence whose code may lack it. */
const figureOf = ({ values }: Evidence, name: 'cylinder' | 'finalKpa'): number | undefined =>
  (values as Readonly<Partial<Record<string, number>>>)[name];

/** A sentence each, but one for several cylinders with the same finding, where it asks for `where` or `inside`. */
export function evidenceWords(all: readonly Evidence[], reader: SentenceReader): string[] {
  return alike(all, (one) => kindOf(one, reader))
    .flatMap(near)
    .map((same) => {
      const cylinders = same.flatMap((one) => figureOf(one, 'cylinder') ?? []);
      return reader.say(reader.t.evidence[same[0].code], {
        ...gatherFigures(same.map((one) => one.values)),
        n: cylinders.length,
        where: cylindersWords(cylinders, reader),
        inside: cylindersInsideWords(cylinders, reader),
      });
    });
}

/** Readings further apart than this share of the lower one are not told as one range. */
const ONE_RANGE = 0.1;

/** In groups that read about the same; what has no reading in it stays together. */
function near(same: readonly Evidence[]): [Evidence, ...Evidence[]][] {
  const groups: [Evidence, ...Evidence[]][] = [];
  for (const one of same) {
    const finalKpa = figureOf(one, 'finalKpa') ?? 0;
    const group = groups.find(([first]) => {
      const other = figureOf(first, 'finalKpa') ?? 0;
      return Math.abs(finalKpa - other) <= ONE_RANGE * Math.min(finalKpa, other);
    });
    if (group) group.push(one);
    else groups.push([one]);
  }
  return groups;
}

function kindOf({ code, values }: Evidence, { t }: SentenceReader): string {
  const isOfMany = namesIn(t.evidence[code]).some((name) => name === 'where' || name === 'inside');
  const shared = Object.entries(values).map(([name, value]) =>
    isOfMany && OWN_FIGURES.has(name) ? name : [name, value],
  );
  return [code, ...shared].join();
}
