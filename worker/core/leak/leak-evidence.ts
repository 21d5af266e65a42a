import type { NoticeCode } from '../notice.ts';
import type { Reading, Stroke } from '../reading.ts';
import { mean, median } from '../statistics.ts';
import type { Condition, Cycle, Hose, Trace } from '../trace.ts';
import { halfWidthS } from './leak-features.ts';

/** One capture of one cylinder. For an open hose its trace also shows how the crank slows. */
export interface MeasuredCylinder {
  readonly cylinder: number;
  readonly condition: Condition;
  readonly reading: Reading;
  readonly trace?: Trace | undefined;
}

/** Measurements of one reading that bear on its leak. */
export interface LeakEvidence {
  readonly cylinder: number;
  readonly condition: Condition;
  readonly hose: Hose;
  /** Natural logarithm of the peak in the cylinder with the leak settled (gauge kPa), and its standard deviation. */
  readonly lnPeak: number;
  readonly lnPeakSd: number;
  readonly rpm: number;
  /** See `halfWidthS` in `leak-features.ts`; `null` when not known. */
  readonly halfWidthS: number | null;
}

/** Notices that make a reading unfit, unless their severity is `note`. */
const SPOILING: readonly NoticeCode[] = [
  'analysis-failed',
  'cranking-sagged',
  'cranking-slow',
  'engine-fired',
  'no-strokes',
  'rig-leaks',
  'rig-undetermined',
  'sample-rate-low',
  'samples-missing',
  'sensor-clipped',
  'sensor-unsteady',
  'too-few-strokes',
  'typed-in',
  'zero-shifted',
];

/** Pressure difference that opens a check valve, kPa, and its spread between rigs (common practice). */
const CHECK_OPENS_KPA = 8;
const CHECK_OPENS_SD_KPA = 4;
/** Power of the peak in cranking speed, approximate. */
const SPEED_POWER = 0.35;
/** Standard deviation of the cranking speed between cylinders of one engine, as a share. */
const OTHERS_SPEED_SD = 0.05;
/** The leak is nearly linear in the peak to this power: from the model, 0.5 to 6 mm2. */
const LEAK_POWER = -0.7;
/** Time constants of ring settling, in strokes or in units of accumulated pressure. */
const SETTLING = [0.7, 1.2, 2, 3, 4.5, 7] as const;
/** Standard deviation of the remaining rise, as a share of the current value. */
const STILL_TO_COME = 0.2;
/** Largest remaining rise in ln peak. Beyond it the rings have not settled and the final value is unpredictable. */
const MOST_TO_COME = 0.3;
/** Relative standard deviation of an extrapolated rise. */
const FORESIGHT = 0.35;
/** Least scatter of strokes about the curve, as a share. */
const LEAST_SCATTER = 0.002;

/** Reason why a reading cannot be used: see `NoLeakReason`. */
export type NoEvidence = 'unfit-reading' | 'not-settled';

/**
 * Evidence of one reading, or the reason for none. `othersRpm`: cranking speed of the other cylinders, used for
 * readings that do not show their own.
 */
export function leakEvidence(
  measured: MeasuredCylinder,
  cycle: Cycle,
  othersRpm: number,
): LeakEvidence | NoEvidence {
  const { reading, cylinder, condition, trace } = measured;
  const { hose } = reading;
  const rpm = reading.crankingRpm ?? othersRpm;
  if (hose === 'undetermined' || !(rpm > 0) || reading.finalKpa === null) return 'unfit-reading';
  if (reading.notices.some((n) => n.severity !== 'note' && SPOILING.includes(n.code))) {
    return 'unfit-reading';
  }
  const strokes = reading.strokes.filter((s) => s.peakKpa !== null && !s.partial);
  const settled = settledPeak(strokes, hose, cycle, rpm);
  if (typeof settled === 'string') return settled;
  const opensKpa = hose === 'check-valve' ? CHECK_OPENS_KPA : 0;
  const peakKpa = settled.kpa + opensKpa;
  const ownSd = (reading.finalPlusMinusKpa ?? 0.01 * peakKpa) / 2 / peakKpa;
  const speedSd = reading.crankingRpm === null ? SPEED_POWER * OTHERS_SPEED_SD : 0;
  const valveSd = hose === 'check-valve' ? CHECK_OPENS_SD_KPA / peakKpa : 0;
  return {
    cylinder,
    condition,
    hose,
    lnPeak: Math.log(peakKpa),
    lnPeakSd: Math.hypot(ownSd, valveSd, speedSd, settled.sdShare),
    rpm: settled.rpm,
    halfWidthS: trace ? halfWidthS(trace, reading) : null,
  };
}

/**
 * Peak to which the strokes converge. Rings settle exponentially, by stroke or by accumulated pressure, and the leak
 * with them; a power of the peak is linear in the leak. Clocks and time constants are averaged, weighted by fit.
 */
function settledPeak(
  strokes: readonly Stroke[],
  hose: Hose,
  cycle: Cycle,
  rpm: number,
): { kpa: number; sdShare: number; rpm: number } | NoEvidence {
  const used = strokes.filter((s) => s.number >= 2);
  if (used.length < 3) return 'unfit-reading';
  const speeds = hose === 'open' ? speedsOf(used, cycle, rpm) : used.map(() => rpm);
  const settledRpm = mean(speeds.slice(-Math.max(3, Math.ceil(used.length / 2))));
  const y = used.map((s, i) => (s.peakKpa! * (settledRpm / speeds[i]!) ** SPEED_POWER) ** LEAK_POWER);
  const last = y.at(-1)!;
  const byStroke = used.map((s) => s.number - used[0]!.number);
  const fits = [byStroke, pressureFelt(used)].flatMap((clock) =>
    SETTLING.map((tau) =>
      fitDecay(
        clock.map((c) => Math.exp(-c / tau)),
        y,
      ),
    ),
  );
  const scatter = Math.max(LEAST_SCATTER * mean(y), Math.min(...fits.map((f) => f.rms)));
  const weights = fits.map((f) => {
    const toCome = (last - f.level) / (STILL_TO_COME * last);
    return Math.exp((-used.length * f.rms ** 2) / (2 * scatter ** 2) - toCome ** 2 / 2);
  });
  const total = weights.reduce((a, b) => a + b, 0);
  const over = (get: (f: (typeof fits)[number]) => number) =>
    fits.reduce((sum, f, i) => sum + (weights[i]! / total) * get(f), 0);
  const level = over((f) => f.level);
  const variance = over((f) => (f.level - level) ** 2 + f.levelVariance * scatter ** 2);
  const lnToCome = Math.log(level / last) / LEAK_POWER;
  if (lnToCome > MOST_TO_COME) return 'not-settled';
  const sdShare = Math.sqrt(variance) / level / -LEAK_POWER;
  return {
    kpa: level ** (1 / LEAK_POWER),
    sdShare: Math.hypot(sdShare, FORESIGHT * Math.max(0, lnToCome)),
    rpm: settledRpm,
  };
}

/** Pressure accumulated on the rings before each stroke, in units of the last stroke's. */
function pressureFelt(strokes: readonly Stroke[]): number[] {
  const unit = strokes.at(-1)!.peakKpa!;
  let felt = 0;
  return strokes.map((s, i) => {
    const previous = strokes[i - 1];
    if (previous) felt += ((s.number - previous.number) * previous.peakKpa!) / unit;
    return felt;
  });
}

/** Speed around each stroke, rpm, median over five. */
function speedsOf(strokes: readonly Stroke[], cycle: Cycle, rpm: number): number[] {
  const own = strokes.map((s, i) => {
    const next = strokes[i + 1];
    if (!next) return Number.NaN;
    return (30 * cycle * (next.number - s.number)) / (next.timeS - s.timeS);
  });
  return strokes.map((_, i) => {
    const near = own.slice(Math.max(0, i - 2), i + 3).filter((v) => v > 0.5 * rpm && v < 2 * rpm);
    return near.length > 0 ? median(near) : rpm;
  });
}

/** Least squares y = level + rise f with rise >= 0. `levelVariance` is for unit scatter. */
function fitDecay(f: readonly number[], y: readonly number[]) {
  const n = y.length;
  const sf = f.reduce((a, b) => a + b, 0);
  const sff = f.reduce((a, b) => a + b * b, 0) + 1e-3;
  const sy = y.reduce((a, b) => a + b, 0);
  const sfy = f.reduce((a, b, i) => a + b * y[i]!, 0);
  const det = n * sff - sf * sf;
  const rise = Math.max(0, (n * sfy - sf * sy) / det);
  const level = (sy - rise * sf) / n;
  const rms = Math.sqrt(mean(y.map((v, i) => (v - level - rise * f[i]!) ** 2)));
  return { level, levelVariance: rise > 0 ? sff / det : 1 / n, rms };
}
