/** Sentences for a terminal and for other programs: English, plain spaces, pressures in one unit. */
import { publishedRule } from '../core/judge/rules.ts';
import type { RuleChoice } from '../core/judgement.ts';
import type { DisplayUnit } from '../core/units.ts';
import { english } from '../words/english.ts';
import { fill } from '../words/fill.ts';
import { formatList } from '../words/number.ts';
import type { SentenceReader } from '../words/sentences.ts';

/** English without separators of thousands, which programs would have to take out. */
const LOCALE = 'en-US-u-va-posix';

/** Terminals and programs that split at spaces want no others. */
const plainSpaces = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');

export const plainReader = (unit: DisplayUnit) =>
  ({
    t: english,
    say: (sentence, values = {}) =>
      plainSpaces(fill(sentence, values, { unit, locale: LOCALE, language: 'en' })),
    list: (items) => formatList(items.map(String), 'en'),
  }) satisfies SentenceReader;

export type PlainReader = ReturnType<typeof plainReader>;

/** The rule by the name that the app gives it. */
export const ruleInWords = ({ code, maxSpreadKpa }: RuleChoice, { t, say }: PlainReader): string =>
  say(t.rule[code].name, {
    spreadKpa: maxSpreadKpa,
    dieselSpreadKpa: publishedRule('diesel-spread').maxSpreadKpa,
  });
