/** Aligns traces on one time axis and reduces each to the lowest and highest sample per pixel column. Pure. */
import type { Trace } from '../../worker/core/trace.ts';

export interface AlignedTrace {
  readonly trace: Trace;
  /** Subtracted from every time, seconds, so that the chosen moment is at 0. */
  readonly shiftS: number;
  /** Subtracted from every pressure, kPa. */
  readonly zeroKpa: number;
}

export interface AlignedColumns {
  /** Two times per column, seconds, ascending: one for its lowest and one for its highest sample. */
  readonly timeS: readonly number[];
  /** One row per trace, gauge kPa. `null` outside the trace and inside its gaps. */
  readonly pressureKpa: readonly (readonly (number | null)[])[];
}

/**
 * Lowest and highest sample in each of `columns` equal slots between `fromS` and `toS`, seconds. A trace with fewer
 * samples than columns is interpolated linearly between samples, never across a gap.
 */
export function alignColumns(
  traces: readonly AlignedTrace[],
  fromS: number,
  toS: number,
  columns: number,
): AlignedColumns {
  const slotS = (toS - fromS) / columns;
  const timeS = Array.from({ length: 2 * columns }, (_, i) => fromS + (i / 2 + 0.25) * slotS);
  return { timeS, pressureKpa: traces.map((one) => columnsOf(one, fromS, slotS, columns, timeS)) };
}

function columnsOf(
  { trace, shiftS, zeroKpa }: AlignedTrace,
  fromS: number,
  slotS: number,
  columns: number,
  timeS: readonly number[],
): (number | null)[] {
  const row = new Array<number | null>(2 * columns).fill(null);
  const timeAt = (index: number): number => trace.timeS[index] ?? Number.POSITIVE_INFINITY;
  const kpaAt = (index: number): number => trace.pressureKpa[index] ?? Number.NaN;
  let index = 0;
  for (let column = 0; column < columns; column++) {
    const start = fromS + column * slotS + shiftS;
    const end = start + slotS;
    while (timeAt(index) < start) index++;
    const first = index;
    let low = index;
    let high = index;
    while (timeAt(index) < end) {
      if (kpaAt(index) < kpaAt(low)) low = index;
      if (kpaAt(index) > kpaAt(high)) high = index;
      index++;
    }
    if (index > first) {
      row[2 * column] = kpaAt(Math.min(low, high)) - zeroKpa;
      row[2 * column + 1] = kpaAt(Math.max(low, high)) - zeroKpa;
    } else {
      for (const half of [0, 1]) {
        const joined = between(trace, index, (timeS[2 * column + half] ?? Number.NaN) + shiftS);
        row[2 * column + half] = joined === null ? null : joined - zeroKpa;
      }
    }
  }
  return row;
}

/**
 * Linear interpolation between the sample before `index` and the one at `index`, kPa. `null` outside the trace and in a
 * gap.
 */
function between(trace: Trace, index: number, atS: number): number | null {
  const [t0, t1] = [trace.timeS[index - 1], trace.timeS[index]];
  const [p0, p1] = [trace.pressureKpa[index - 1], trace.pressureKpa[index]];
  if (t0 === undefined || t1 === undefined || p0 === undefined || p1 === undefined) return null;
  if (trace.gaps.some((gap) => gap.startS < t1 && gap.endS > t0)) return null;
  const share = (atS - t0) / (t1 - t0);
  return p0 + share * (p1 - p0);
}
