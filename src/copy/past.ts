/** Texts of `en/past.ts` in each language. Not part of `Words`, so that the first page does not load them. */
import { type PastWords, pastWords } from './en/past.ts';
import { languageFor } from './languages.ts';

const LANGUAGES: Readonly<Record<string, PastWords>> = {
  en: pastWords,
};

/** The texts for a BCP 47 tag; English when its language is not available. */
export const pastWordsFor = (tag: string): PastWords => LANGUAGES[languageFor(tag)] ?? pastWords;
