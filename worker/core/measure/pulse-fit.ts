import { median } from '../statistics.ts';
import type { Measured } from './normal-equations.ts';
import type { RoughPulse } from './pulse-find.ts';
import { type LearntShape, learnShape, USUAL_SKEW } from './pulse-learn.ts';
import { type Departure, type FittedPulse, refine } from './pulse-refine.ts';
import { type Pulse, USUAL_EXPONENT, yAtHeight } from './pulse-shape.ts';

/** Duration of a turn when strokes are too few to measure it, seconds (250 rpm). */
const USUAL_TURN_S = 0.24;
/** Least number of samples in one width that show how flat the peak is. */
const DENSE = 4;
/** Exponents tried below that, with their prior odds: most cranks slow against the compression. */
const EXPONENTS = [
  { exponent: 1, odds: 0.1 },
  { exponent: USUAL_EXPONENT, odds: 0.25 },
  { exponent: 1.8, odds: 0.3 },
  { exponent: 2.6, odds: 0.25 },
  { exponent: 4, odds: 0.1 },
] as const;
/** Error of the family of shapes, which grows as samples become fewer: share of the height. */
const BLUR_SHARE = 0.006;
/**
 * Deviation of one stroke's shape from the shared one. The first stroke turns slower, from rest, and may start
 * part-way up.
 */
const ALIKE: Departure = { logWidthSd: 0.08, skewSd: 0.15 };
const FIRST: Departure = { logWidthSd: 0.8, skewSd: 0.8 };

/** Largest number of strokes used to learn the shape, spread over the trace. More would not improve it. */
const LESSONS = 16;

/**
 * Fits the peak of every pulse. All strokes share one shape, learnt from their samples together, which fall at
 * different phases. Each stroke may then deviate as far as its own samples require. With so few samples that the
 * flatness of the peak is open, the likely exponents are averaged and their spread widens the interval. `turns`:
 * crank turns between strokes.
 */
export function fitPulses(m: Measured, rough: readonly RoughPulse[], turns: 1 | 2): FittedPulse[] {
  if (rough.length === 0) return [];
  const steps = rough.slice(1).map((r, i) => r.timeS - rough[i]!.timeS);
  const turnS = steps.length > 0 ? median(steps) / turns : USUAL_TURN_S;
  const paces = pacesOf(rough, turnS * turns);
  const guesses = firstGuesses(m, rough);
  const stride = Math.ceil(guesses.length / LESSONS);
  const lessons = guesses.filter((_, i) => i % stride === 0);
  const learn = (exponent: number) =>
    learnShape(
      m,
      lessons,
      paces.filter((_, i) => i % stride === 0),
      turnS,
      exponent,
    );
  if (densityOf(m, guesses) > DENSE) {
    const learnt = learn(USUAL_EXPONENT);
    return refineAll(m, guesses, learnt, paces, guesses[0]!.widthS);
  }
  const learnt = EXPONENTS.map(({ exponent, odds }) => ({
    odds,
    ...learn(exponent),
  }));
  const best = Math.min(...learnt.map((l) => l.chi2));
  const weights = learnt.map((l) => l.odds * Math.exp((best - l.chi2) / 2));
  const total = weights.reduce((a, b) => a + b, 0);
  const tried = learnt
    .map((shape, i) => ({ shape, weight: weights[i]! / total }))
    .filter((t) => t.weight > 0.01)
    .map(({ shape, weight }) => ({ weight, pulses: refineAll(m, guesses, shape, paces) }));
  const blur = BLUR_SHARE * Math.max(0, DENSE / densityOf(m, tried[0]!.pulses) - 1);
  return rough.map((_, i) =>
    average(
      tried.map(({ weight, pulses }) => ({ weight, pulse: pulses[i]! })),
      blur,
    ),
  );
}

/** Samples per width of a pulse. */
const densityOf = (m: Measured, pulses: readonly Pulse[]) =>
  median(pulses.map((p) => p.widthS)) * m.samples.rateHz;

/** Period of each stroke over the median, 0.75 to 1.3. A slowing crank widens its pulses by the same factor. */
function pacesOf(rough: readonly RoughPulse[], usualS: number): number[] {
  return rough.map((_, i) => {
    const from = Math.max(0, i - 2);
    const to = Math.min(rough.length - 1, i + 2);
    const pace = to > from ? (rough[to]!.timeS - rough[from]!.timeS) / (to - from) / usualS : 1;
    return Math.min(1.3, Math.max(0.75, pace));
  });
}

/**
 * Initial guess of a pulse, with the middle of its time above half height, which noise affects less than the peak.
 */
interface Guess extends Pulse {
  readonly middleS: number;
}

/** Initial guesses: height and time from the highest sample, width from the time above half height. */
function firstGuesses({ gauge, samples, ambientKpa }: Measured, rough: readonly RoughPulse[]): Guess[] {
  const { timeS } = samples;
  return rough.map(({ peakKpa, top, timeS: topS }) => {
    const half = peakKpa / 2;
    const cross = (step: 1 | -1): number => {
      let i = top;
      while (gauge[i + step] !== undefined && gauge[i + step]! > half) i += step;
      const a = timeS[i]!;
      const b = timeS[i + step];
      if (b === undefined) return a;
      return a + ((gauge[i]! - half) / (gauge[i]! - gauge[i + step]!)) * (b - a);
    };
    const [startS, endS] = [cross(-1), cross(1)];
    const widthS = Math.max(0.004, (endS - startS) / (2 * yAtHeight(0.5, peakKpa, ambientKpa)));
    const middleS = (startS + endS) / 2;
    return { peakKpa, timeS: topS, widthS, skew: USUAL_SKEW, exponent: USUAL_EXPONENT, middleS };
  });
}

/**
 * Fits every stroke from the shared shape. `firstWidthS`: width of the first stroke by its own samples, where these
 * are dense enough.
 */
function refineAll(
  m: Measured,
  guesses: readonly Guess[],
  { pulses, shared }: LearntShape,
  paces: readonly number[],
  firstWidthS?: number,
): FittedPulse[] {
  const stride = Math.ceil(guesses.length / LESSONS);
  const fitted: FittedPulse[] = [];
  guesses.forEach((guess, i) => {
    const widthS = shared.shape.widthS * paces[i]!;
    const own = { ...shared, shape: { ...shared.shape, widthS } };
    const first = i === 0 && firstWidthS !== undefined;
    const start =
      i % stride === 0
        ? { ...pulses[i / stride]!, widthS: first ? firstWidthS : widthS }
        : startFrom(guess, fitted[i - 1]!, guesses[i - 1]!);
    fitted.push(refine(m, start, own, first ? FIRST : ALIKE));
  });
  return fitted;
}

/**
 * Start of the fit of a stroke not used for learning: offset from its guess by as much as the fit of the stroke
 * before differs from its own guess.
 */
function startFrom(guess: Guess, before: Pulse, itsGuess: Guess): Pulse {
  return {
    peakKpa: guess.peakKpa,
    timeS: guess.middleS + before.timeS - itsGuess.middleS,
    widthS: (guess.widthS * before.widthS) / itsGuess.widthS,
    skew: before.skew,
    exponent: before.exponent,
  };
}

/** Weighted mean of fits of one pulse. Their differences are a shared uncertainty of all strokes. */
function average(fits: readonly { weight: number; pulse: FittedPulse }[], blur: number): FittedPulse {
  const weights = fits.reduce((sum, f) => sum + f.weight, 0);
  const over = (get: (p: FittedPulse) => number) =>
    fits.reduce((sum, f) => sum + f.weight * get(f.pulse), 0) / weights;
  const peakKpa = over((p) => p.peakKpa);
  const spread = over((p) => (p.peakKpa - peakKpa) ** 2);
  const likeliest = fits.reduce((a, b) => (b.weight > a.weight ? b : a)).pulse;
  return {
    ...likeliest,
    peakKpa,
    timeS: over((p) => p.timeS),
    peakSdKpa: Math.sqrt(over((p) => p.peakSdKpa ** 2) + spread + (blur * peakKpa) ** 2),
    ownSdKpa: Math.sqrt(over((p) => p.ownSdKpa ** 2)),
  };
}
