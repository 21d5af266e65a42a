/** Turns notices and evidence into sentences. Equal findings of several cylinders share one sentence. Pure. */
import type { Evidence, EvidenceCode } from '../core/evidence.ts';
import type { Notice, NoticeCode } from '../core/notice.ts';
import { namesIn, type Values } from './fill.ts';
import { gatherFigures, groupByKey } from './gather.ts';

/** Texts of one language and the functions that fill them for this reader. */
export interface SentenceReader {
  readonly t: {
    readonly notice: Readonly<Record<NoticeCode, string>>;
    readonly evidence: Readonly<Record<EvidenceCode, string>>;
    readonly cylinders: string;
    readonly cylindersInside: string;
    readonly rotors: string;
    readonly rotorsInside: string;
  };
  say(sentence: string, values?: Values): string;
  list(items: readonly number[]): string;
}

/** Lists cylinders for the start of a sentence: `Cylinder 3`, `Cylinders 2 and 3`. */
const cylindersWords = (cylinders: readonly number[], { t, say, list }: SentenceReader): string =>
  say(t.cylinders, { n: cylinders.length, list: list(cylinders) });

/** Lists cylinders for the middle of a sentence: `cylinder 3`, `cylinders 2 and 3`. */
export const cylindersInsideWords = (
  cylinders: readonly number[],
  { t, say, list }: SentenceReader,
): string => say(t.cylindersInside, { n: cylinders.length, list: list(cylinders) });

/** The reader with cylinders named rotors. */
export const namingRotors = <R extends SentenceReader>(reader: R): R => ({
  ...reader,
  t: { ...reader.t, cylinders: reader.t.rotors, cylindersInside: reader.t.rotorsInside },
});

/** Combines notices of the same code into one sentence. */
export const noticeWords = ({ t, say }: SentenceReader, ...notices: readonly [Notice, ...Notice[]]): string =>
  say(t.notice[notices[0].code], gatherFigures(notices.map(({ values }) => values)));

/** Figures in which the cylinders of one sentence may differ. All other figures must be equal. */
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

/** One figure of the evidence; `undefined` when its code has none of this name. */
const figureOf = ({ values }: Evidence, name: 'cylinder' | 'finalKpa'): number | undefined =>
  (values as Readonly<Partial<Record<string, number>>>)[name];

/** Words the evidence. Equal findings share one sentence when the text has the placeholder `where` or `inside`. */
export function evidenceWords(all: readonly Evidence[], reader: SentenceReader): string[] {
  return groupByKey(all, (one) => kindOf(one, reader))
    .flatMap(bySimilarReading)
    .map((same) => {
      const cylinders = same.flatMap((one) => figureOf(one, 'cylinder') ?? []);
      const named = same[0].code.startsWith('rotor-') ? namingRotors(reader) : reader;
      return reader.say(reader.t.evidence[same[0].code], {
        ...gatherFigures(same.map((one) => one.values)),
        n: cylinders.length,
        where: cylindersWords(cylinders, named),
        inside: cylindersInsideWords(cylinders, named),
      });
    });
}

/** Readings that differ by more than this share of the lower one are not combined into a range. */
const ONE_RANGE = 0.1;

/** Groups evidence by similar readings. Evidence without a reading stays in one group. */
function bySimilarReading(same: readonly Evidence[]): [Evidence, ...Evidence[]][] {
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
