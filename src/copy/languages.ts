/**
 * The available languages. To add one, write its texts, of type `Words`, and add a line here. The texts may be one file
 * or follow the parts of `en/`. `tests/browser/language.test.ts` does so with a made-up language.
 */
import { en, type Words } from './en.ts';

const LANGUAGES: Readonly<Record<string, { readonly name: string; readonly words: Words }>> = {
  en: { name: 'English', words: en },
};

export const languageChoices = Object.entries(LANGUAGES).map(([code, { name }]) => ({ code, name }));

/** The language for a BCP 47 tag; English when it is not available. Figures follow the tag itself. */
export function languageFor(tag: string): string {
  const [code = ''] = tag.toLowerCase().split('-');
  return code in LANGUAGES ? code : 'en';
}

/** The texts for a BCP 47 tag; English when its language is not available. */
export const wordsFor = (tag: string): Words => LANGUAGES[languageFor(tag)]?.words ?? en;
