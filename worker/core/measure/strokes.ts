import type { Stroke } from '../reading.ts';
import { median } from '../statistics.ts';

/** A stroke as found, before it is numbered. Times in seconds, gauge kPa; `null` when its top was lost. */
export interface FoundStroke {
  readonly timeS: number;
  readonly peakKpa: number | null;
  /** Standard deviation of `peakKpa`. */
  readonly peakSdKpa: number | null;
  /** The part of it that the other strokes do not share. */
  readonly ownSdKpa: number | null;
}

export interface FoundStrokes {
  readonly strokes: readonly FoundStroke[];
  /** Every time the crank was seen at the top of compression, one more than strokes when the last was not finished. */
  readonly topsS: readonly number[];
}

/** Numbers the strokes and tells whether the first began part-way up. */
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

/** A first stroke this far below what the later ones lead to expect did not start from a full cylinder. */
const PARTIAL_SHARE = 0.88;

/**
 * Worn rings and a hose that must be filled make strokes approach their final value by a constant ratio, which foretells
 * the first from the later ones. A first stroke well below that had a part-filled cylinder.
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

export interface Cranking {
  /** Turns a minute, mean from the first to the last top; `null` with fewer than two tops. */
  readonly rpm: number | null;
  /** How much slower the last strokes turned than the fastest, 0 to 1; `null` with fewer than three periods. */
  readonly sag: number | null;
  /** Share of the speed lost from one stroke to the next after the fastest; 0 when it is the last or too few are known. */
  readonly slowing: number;
}

/** `turns` crank turns between strokes: 2 on a 4-stroke, 1 on a 2-stroke. Pauses between two bouts are left out. */
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
