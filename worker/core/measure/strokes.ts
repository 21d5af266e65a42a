import type { Stroke } from '../reading.ts';
import { median } from '../statistics.ts';

/** A stroke before numbering. Seconds, gauge kPa; `null` when its peak was lost. */
export interface FoundStroke {
  readonly timeS: number;
  readonly peakKpa: number | null;
  /** Standard deviation of `peakKpa`. */
  readonly peakSdKpa: number | null;
  /** The part of it that is independent of the other strokes. */
  readonly ownSdKpa: number | null;
}

/** Strokes of one trace, in order. */
export interface FoundStrokes {
  readonly strokes: readonly FoundStroke[];
  /** Times at which the crank passed the top of compression; one more than strokes when the last was unfinished. */
  readonly topsS: readonly number[];
}

/** Numbers the strokes and marks a first stroke that began part-way up. */
export function numberStrokes(found: readonly FoundStroke[]): Stroke[] {
  const partial = firstIsPartial(found);
  return found.map((s, i) => ({
    number: i + 1,
    timeS: s.timeS,
    peakKpa: s.peakKpa,
    peakPlusMinusKpa: s.peakSdKpa === null ? null : 2 * s.peakSdKpa,
    partial: i === 0 && partial,
    lost: s.peakKpa === null,
  }));
}

/** Share of the expected first stroke below which the cylinder was part-filled. */
const PARTIAL_SHARE = 0.88;

/**
 * True for a part-filled first stroke. With worn rings, or a hose that must fill, strokes approach their final value
 * by a constant ratio, which predicts the first from the later ones.
 */
function firstIsPartial(found: readonly FoundStroke[]): boolean {
  const [first, second, third] = found.map((s) => s.peakKpa);
  if (first === null || first === undefined || second === null || second === undefined) return false;
  if (third === null || third === undefined || found.length < 4) return first < 0.4 * second;
  const finalKpa = Math.max(...found.slice(1).map((s) => s.peakKpa ?? 0));
  const gap2 = finalKpa - second;
  const gap3 = finalKpa - third;
  const ratio = gap2 > 0.02 * finalKpa ? Math.min(0.95, Math.max(0.25, gap3 / gap2)) : 0.25;
  const expected = Math.max(0.3 * second, finalKpa - Math.max(gap2, 0) / ratio);
  return first < PARTIAL_SHARE * Math.min(expected, second);
}

/** Cranking speed of a trace. */
export interface Cranking {
  /** Mean speed from the first to the last peak; `null` with fewer than two. */
  readonly rpm: number | null;
  /** Loss of speed from the fastest strokes to the last, 0 to 1; `null` with fewer than three periods. */
  readonly sag: number | null;
  /** Share of the speed lost per stroke after the fastest; 0 when that is the last or too few are known. */
  readonly slowing: number;
}

/**
 * Cranking speed from the times of the peaks. `turns`: crank turns between strokes, 2 on a 4-stroke, 1 on a 2-stroke.
 * Pauses between two bouts are excluded.
 */
export function crankingOf(topsS: readonly number[], countedTops: number, turns: 1 | 2): Cranking {
  const all = topsS.slice(1).map((t, i) => t - topsS[i]!);
  if (all.length === 0) return { rpm: null, sag: null, slowing: 0 };
  const usual = median(all);
  const together = (s: number) => s < 1.8 * usual;
  const steady = all.filter(together);
  const rpm = (60 * turns * steady.length) / steady.reduce((a, b) => a + b, 0);
  const periods = all.slice(0, countedTops - 1).filter(together);
  if (periods.length < 2) return { rpm, sag: null, slowing: 0 };
  const fastest = Math.min(...periods);
  const last = periods.at(-1)!;
  const after = periods.length - 1 - periods.indexOf(fastest);
  const slowing = after < 2 ? 0 : Math.log(last / fastest) / after;
  if (periods.length < 3) return { rpm, sag: null, slowing };
  const slowest = Math.max(last, (last + periods.at(-2)!) / 2);
  return { rpm, sag: Math.max(0, 1 - fastest / slowest), slowing };
}
