/** Formats dates. The current time is a parameter, `now`, so that the output depends only on the input. */

const DAY_MS = 86_400_000;

/** `today`, `3 weeks ago`, `last month`: time since `iso`, in the coarsest useful unit, on one line. */
export function sinceWords(iso: string, now: Date, locale: string): string {
  const days = Math.round((startOfDay(new Date(iso)) - startOfDay(now)) / DAY_MS);
  const words = new Intl.RelativeTimeFormat(locale, { numeric: 'auto' });
  const past = Math.abs(days);
  if (past < 14) return unbroken(words.format(days, 'day'));
  if (past < 61) return unbroken(words.format(Math.round(days / 7), 'week'));
  if (past < 700) return unbroken(words.format(Math.round(days / 30.4), 'month'));
  return unbroken(words.format(Math.round(days / 365.25), 'year'));
}

/**
 * `25 Nov 2026, 08:03` in the locale's order and the device's time zone. A line can break between date and time, not
 * within either.
 */
export function dateTime(iso: string, locale: string): string {
  const parts = new Intl.DateTimeFormat(locale, { dateStyle: 'medium', timeStyle: 'short' }).formatToParts(
    new Date(iso),
  );
  return parts
    .map(({ type, value }, i) =>
      type === 'literal' && isOfTime(parts[i - 1]) === isOfTime(parts[i + 1]) ? unbroken(value) : value,
    )
    .join('');
}

/** `25 Nov 2026` in the locale's order and the device's time zone, on one line. */
export function day(iso: string, locale: string): string {
  return unbroken(new Intl.DateTimeFormat(locale, { dateStyle: 'medium' }).format(new Date(iso)));
}

const TIME_PARTS: readonly string[] = ['hour', 'minute', 'second', 'dayPeriod'];

const isOfTime = (part: Intl.DateTimeFormatPart | undefined): boolean =>
  part !== undefined && TIME_PARTS.includes(part.type);

const unbroken = (text: string): string => text.replaceAll(' ', '\u00a0');

function startOfDay(date: Date): number {
  return Date.UTC(date.getFullYear(), date.getMonth(), date.getDate());
}
