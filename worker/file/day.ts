/** Whether a text is a day of the calendar, `YYYY-MM-DD`. */
export function isDay(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
  const date = new Date(`${text}T00:00:00Z`);
  // Some engines turn 30 February into a day of March.
  return !Number.isNaN(date.getTime()) && date.toISOString().startsWith(text);
}
