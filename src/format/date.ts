/** Dates for the reader. `now` is handed in, so that the same input always gives the same words. */

const DAY_MS = 86_400_000;

/** `today`, `3 weeks ago`, `last month`: how long since, in the coarsest unit that still tells something. */
export function sinceWords(iso: string, now: Date, locale: string): string {
  const days = Math.round((startOfDay(new Date(iso)) - startOfDay(now)) / DAY_MS);
  const words = new Intl.RelativeTimeFormat(locale, { numeric: 'auto' });
  const past = Math.abs(days);
  if (past < 14) return words.format(days, 'day');
  if (past < 61) return words.format(Math.round(days / 7), 'week');
  if (past < 700) return words.format(Math.round(days / 30.4), 'month');
  return words.format(Math.round(days / 365.25), 'year');
}

/** `25 Nov 2026, 08:03` in the reader's order and time zone. */
export function dateTime(iso: string, locale: string): string {
  return new Intl.DateTimeFormat(locale, { dateStyle: 'medium', timeStyle: 'short' }).format(new Date(iso));
}

/** `25 Nov 2026` in the reader's order. */
export function day(iso: string, locale: string): string {
  return new Intl.DateTimeFormat(locale, { dateStyle: 'medium' }).format(new Date(iso));
}

function startOfDay(date: Date): number {
  return Date.UTC(date.getFullYear(), date.getMonth(), date.getDate());
}
