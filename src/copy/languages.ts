/**
 * The available languages. To add one, write its texts, of type `Words`, and add a line here. The texts may be one file
 * or follow the parts of `en/`. `tests/browser/language.test.ts` does so with a made-up language.
 */

import { type FirstLoadWords, firstLoadWords } from './en/first-load.ts';
import type { Words } from './en.ts';

interface Language {
  /** What its speakers call it. */
  readonly name: string;
  readonly firstLoad: FirstLoadWords;
  /** Loads all of its texts. */
  load(): Promise<Words>;
}

const LANGUAGES: Readonly<Record<string, Language>> & { readonly en: Language } = {
  en: { name: 'English', firstLoad: firstLoadWords, load: async () => (await import('./en.ts')).en },
};

const languageOf = (code: string): Language => LANGUAGES[code] ?? LANGUAGES.en;

const loaded = new Map<string, Words>();

export const languageChoices = Object.entries(LANGUAGES).map(([code, { name }]) => ({ code, name }));

/** The language for a BCP 47 tag; English when it is not available. Figures follow the tag itself. */
export function languageFor(tag: string): string {
  const [code = ''] = tag.toLowerCase().split('-');
  return code in LANGUAGES ? code : 'en';
}

/** Whether all texts of the language for this tag are loaded. */
export const hasAllWords = (tag: string): boolean => loaded.has(languageFor(tag));

/** Loads all texts of the language for this tag. Rejects when they cannot be fetched; another call tries again. */
export async function loadAllWords(tag: string): Promise<void> {
  const code = languageFor(tag);
  if (!loaded.has(code)) loaded.set(code, await languageOf(code).load());
}

/** The texts for a BCP 47 tag; English when its language is not available. Before `loadAllWords`, those of `FirstLoadWords` only. */
export function wordsFor(tag: string): Words {
  const code = languageFor(tag);
  // Screens in chunks of their own are rendered after `loadAllWords`; a test checks that other code uses no later words.
  return loaded.get(code) ?? (languageOf(code).firstLoad as Words);
}
