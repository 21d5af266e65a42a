/** Sentences for terminals and other programs: English, plain spaces, pressures in one unit. */
import { publishedRule } from '../core/judge/rules.ts';
import type { RuleChoice } from '../core/rule.ts';
import type { DisplayUnit } from '../core/units.ts';
import { english } from '../words/english.ts';
import { fill } from '../words/fill.ts';
import { formatList } from '../words/number.ts';
import type { SentenceReader } from '../words/sentences.ts';

/** English without thousands separators, which programs would have to remove. */
const LOCALE = 'en-US-u-va-posix';

/** Replaces no-break spaces, because programs split at plain ones. */
const plainSpaces = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');

/** Creates a reader that writes pressures in `unit`. */
export const plainReader = (unit: DisplayUnit) =>
  ({
    t: english,
    say: (sentence, values = {}) =>
      plainSpaces(fill(sentence, values, { unit, locale: LOCALE, language: 'en' })),
    list: (items) => formatList(items.map(String), 'en'),
  }) satisfies SentenceReader;

/** A reader made by `plainReader`. */
export type PlainReader = ReturnType<typeof plainReader>;

/** The name of the rule as shown in the app. */
export const ruleInWords = ({ code, maxSpreadKpa }: RuleChoice, { t, say }: PlainReader): string =>
  say(t.rule[code].name, {
    spreadKpa: maxSpreadKpa,
    dieselSpreadKpa: publishedRule('diesel-spread').maxSpreadKpa,
  });
