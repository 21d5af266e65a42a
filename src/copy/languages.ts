/**
 * The languages there are. To add one: its words, of type `Words`, in one file (or as English has them, `en.ts` with its parts
 * in `en/`), and a line here. `tests/browser/language.test.ts` does so with a made-up one.
 */
import { en, type Words } from './en.ts';

const LANGUAGES: Readonly<Record<string, { readonly name: string; readonly words: Words }>> = {
  en: { name: 'English', words: en },
};

export const languageChoices = Object.entries(LANGUAGES).map(([code, { name }]) => ({ code, name }));

/** The language that a reader of this BCP 47 tag gets: English when there is no such one here. Figures follow the tag itself. */
export function languageFor(tag: string): string {
  const [code = ''] = tag.toLowerCase().split('-');
  return code in LANGUAGES ? code : 'en';
}

export const wordsFor = (tag: string): Words => LANGUAGES[languageFor(tag)]?.words ?? en;
