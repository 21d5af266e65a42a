/** Formats dates. The current time is a parameter, `now`, so that the output depends only on the input. */

const DAY_MS = 86_400_000;

/** `today`, `3 weeks ago`, `last month`: time since `iso`, in the coarsest useful unit. */
export function sinceWords(iso: string, now: Date, locale: string): string {
  const days = Math.round((startOfDay(new Date(iso)) - startOfDay(now)) / DAY_MS);
  const words = new Intl.RelativeTimeFormat(locale, { numeric: 'auto' });
  const past = Math.abs(days);
  if (past < 14) return words.format(days, 'day');
  if (past < 61) return words.format(Math.round(days / 7), 'week');
  if (past < 700) return words.format(Math.round(days / 30.4), 'month');
  return words.format(Math.round(days / 365.25), 'year');
}

/** `25 Nov 2026, 08:03` in the locale's order and the device's time zone. */
export function dateTime(iso: string, locale: string): string {
  return new Intl.DateTimeFormat(locale, { dateStyle: 'medium', timeStyle: 'short' }).format(new Date(iso));
}

/** `25 Nov 2026` in the locale's order and the device's time zone. */
export function day(iso: string, locale: string): string {
  return new Intl.DateTimeFormat(locale, { dateStyle: 'medium' }).format(new Date(iso));
}

function startOfDay(date: Date): number {
  return Date.UTC(date.getFullYear(), date.getMonth(), date.getDate());
}
