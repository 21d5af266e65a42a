/** One line of the report. */
export interface Figure {
  readonly name: string;
  /** The figure and its limit, each with a unit. */
  readonly measured: string;
  readonly limit: string;
  readonly ok: boolean;
}

/** A figure that is ok up to its limit, inclusive. */
export const atMost = (name: string, value: number, limit: number, unit: string, digits = 2): Figure => ({
  name,
  measured: `${value.toFixed(digits)} ${unit}`.trim(),
  limit: `at most ${limit} ${unit}`.trim(),
  ok: value <= limit,
});

/** A figure that is ok from its limit on, inclusive. */
export const atLeast = (name: string, value: number, limit: number, unit: string, digits = 0): Figure => ({
  name,
  measured: `${value.toFixed(digits)} ${unit}`.trim(),
  limit: `at least ${limit} ${unit}`.trim(),
  ok: value >= limit,
});

/** Prints each figure beside its limit; returns whether all are ok. */
export function printFigures(figures: readonly Figure[]): boolean {
  for (const { name, measured, limit, ok } of figures) {
    console.log(`  ${name.padEnd(58)}${measured.padStart(22)}   ${limit}   ${ok ? 'ok' : 'not ok'}`);
  }
  return figures.every(({ ok }) => ok);
}
