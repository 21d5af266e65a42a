/** The languages there are. To add one: a file like `en.ts` of type `Words`, and a line here. */
import { en } from './en.ts';
import type { Words } from './words.ts';

const LANGUAGES: Readonly<Record<string, { readonly name: string; readonly words: Words }>> = {
  en: { name: 'English', words: en },
};

export const languageChoices = Object.entries(LANGUAGES).map(([code, { name }]) => ({ code, name }));

/** Words for a BCP 47 tag; English when there is no such language here. */
export function wordsFor(language: string): Words {
  return (LANGUAGES[language.split('-')[0]!.toLowerCase()] ?? LANGUAGES.en!).words;
}
