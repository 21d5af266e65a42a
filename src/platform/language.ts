/** Whether `Intl` accepts the value as a BCP 47 language tag. */
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
 * The browser's language, BCP 47. Some browsers report tags that `Intl` rejects, such as `C` or an empty string. Then
 * `navigator.language` is replaced by English, because uPlot reads it when it is loaded.
 */
export function browserLanguage(): string {
  if (isLanguageTag(navigator.language)) return navigator.language;
  Object.defineProperty(navigator, 'language', { value: ENGLISH, configurable: true });
  return ENGLISH;
}
