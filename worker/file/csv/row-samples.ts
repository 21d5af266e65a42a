/** Samples from the rows of a file: times and pressures. */
import { LIMITS } from '../limits.ts';
import { type NumberColumn, unreadableProblem } from './table.ts';
import type { TimeAxis } from './time-column.ts';
import type { FileProblem } from './trace-file.ts';

/** Time of each row in seconds after the first, from wall-clock stamps in seconds. */
export function clockStamps(values: Float64Array): Float64Array {
  const stamps = unwrapMidnight(values);
  const first = stamps.find((stamp) => !Number.isNaN(stamp)) ?? 0;
  // Seconds since 1970 leave a double only microsecond resolution.
  return stamps.map((stamp) => Number((stamp - first).toFixed(6)));
}

/** Time of each row in seconds, for a logger that states only its rate. */
export function evenStamps(isRow: Uint8Array, rateHz: number): Float64Array {
  let count = 0;
  return Float64Array.from(isRow, (row) => (row ? count++ / rateHz : Number.NaN));
}

/** Adds a day at each midnight of a clock without a date. */
function unwrapMidnight(clockS: Float64Array): Float64Array {
  const DAY_S = 86_400;
  let days = 0;
  let last = Number.NaN;
  return clockS.map((stamp) => {
    if (Number.isNaN(stamp)) return stamp;
    if (stamp < last - DAY_S / 2) days++;
    last = stamp;
    return stamp + days * DAY_S;
  });
}

/**
 * Samples of one pressure column in order of time. `toKpa` converts a figure of the file. Rows without a figure are
 * counted in `missing`. A pressure beyond `LIMITS` is a problem with its line.
 */
export function samplesOf(
  column: NumberColumn,
  toKpa: (raw: number) => number,
  axis: TimeAxis,
  lineOf: (row: number) => number,
):
  | { readonly timeS: Float64Array; readonly pressureKpa: Float64Array; readonly missing: number }
  | { readonly problem: FileProblem } {
  const problem = unreadableProblem(column, 'pressure', lineOf);
  if (problem) return { problem };
  const timeS = new Float64Array(axis.rows.length);
  const pressureKpa = new Float64Array(axis.rows.length);
  let count = 0;
  for (let i = 0; i < axis.rows.length; i++) {
    const kpa = toKpa(column.values[axis.rows[i]!]!);
    if (!Number.isFinite(kpa)) continue;
    if (Math.abs(kpa) > LIMITS.sensorKpa) {
      const line = lineOf(axis.rows[i]!);
      const detail = `The pressure ${Number(kpa.toPrecision(4))} kPa is beyond any sensor for this job (${LIMITS.sensorKpa} kPa); check the unit, or correct that line.`;
      return { problem: { code: 'bad-number', line, detail } };
    }
    timeS[count] = axis.timeS[i]!;
    pressureKpa[count++] = kpa;
  }
  return {
    timeS: timeS.slice(0, count),
    pressureKpa: pressureKpa.slice(0, count),
    missing: timeS.length - count,
  };
}
