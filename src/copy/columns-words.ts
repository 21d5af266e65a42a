import { columnsWords } from './en/columns.ts';

/** The texts for the columns of files, in the language of a BCP 47 tag. English until a translation is added here. */
export const columnsWordsFor = (_tag: string): typeof columnsWords => columnsWords;
