/** Whether `Intl` takes it: a BCP 47 tag. */
export function isLanguageTag(value: unknown): boolean {
  if (typeof value !== 'string') return false;
  try {
    return Intl.getCanonicalLocales(value).length === 1;
  } catch {
    return false;
  }
}

const ENGLISH = 'en';

/**
 * The language that the browser asks for. Some report tags that `Intl` throws on, such as `C` or an empty text: then
 * English, for libraries that ask the browser themselves, too. uPlot does as soon as it is loaded.
 */
export function browserLanguage(): string {
  if (isLanguageTag(navigator.language)) return navigator.language;
  Object.defineProperty(navigator, 'language', { value: ENGLISH, configurable: true });
  return ENGLISH;
}
