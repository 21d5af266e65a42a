/**
 * A made-up language, to check that the app can be translated: every letter of the English words becomes a wide
 * one. A plain letter on a screen then did not come from the words.
 */
import type { Plugin } from 'vite';

/** Locale of its dates and figures: Greek has as many plural forms as English and no Latin letter. */
export const MADE_UP = 'el';

const wide = (text: string): string =>
  text.replace(/[A-Za-z]/g, (letter) => String.fromCharCode(letter.charCodeAt(0) + 0xfee0));

/** A sentence in wide letters; its gaps and their notation stay. */
const wideSentence = (sentence: string): string =>
  sentence.replace(/\{(\w+):plural ([^}]+)\}|\{[^}]+\}|[^{]+/g, (part, name, forms) =>
    forms ? `{${name}:plural ${wide(forms)}}` : part.startsWith('{') ? part : wide(part),
  );

/** The same words in wide letters. */
export function madeUp<Words>(words: Words): Words {
  if (typeof words === 'string') return wideSentence(words) as Words;
  const entries = Object.entries(words as Record<string, unknown>);
  return Object.fromEntries(entries.map(([key, value]) => [key, madeUp(value)])) as Words;
}

/** Adds the language as a translator would: its words, and a line in `languages.ts`. */
export function madeUpLanguage(): Plugin {
  const line = /\n {2}en: \{[^\n]*\n/;
  return {
    name: 'made-up-language',
    enforce: 'pre',
    transform(code, id) {
      if (!id.endsWith('/src/copy/languages.ts')) return undefined;
      if (!line.test(code)) this.error('There is no line of English in languages.ts.');
      const added = code.replace(
        line,
        (english) =>
          `${english}  ${MADE_UP}: { name: '${wide('Made up')}', firstLoad: madeUp(firstLoadWords), load: async () => madeUp((await import('./en.ts')).en) },\n`,
      );
      return { code: `import { madeUp } from '${import.meta.filename}';\n${added}`, map: null };
    },
  };
}
