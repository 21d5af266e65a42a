/** The available languages of the texts for columns, apart from `languages.ts` so that only their screens load them. */
import { columnsWords } from './en/columns.ts';

type ColumnsWords = typeof columnsWords;

const LANGUAGES: Readonly<Record<string, { readonly words: ColumnsWords }>> = {
  en: { words: columnsWords },
};

/** The texts in a language as `languageFor` gives it; English when they are not translated. */
export const columnsWordsFor = (language: string): ColumnsWords => LANGUAGES[language]?.words ?? columnsWords;
