import type { RoughPulse } from './pulse-find.ts';
import {
  HALF_HEIGHT_WIDTH,
  type Pulse,
  type PulseShape,
  type PulseValue,
  pulseFunction,
  USUAL_EXPONENT,
} from './pulse-shape.ts';
import type { Samples } from './samples.ts';
import { lowerBound, median, solveSpd } from './statistics.ts';

/** A pulse with its top fitted. */
export interface FittedPulse extends Pulse {
  /** Standard deviation of `peakKpa`, kPa, noise, timing and shape together. */
  readonly peakSdKpa: number;
  /** The part of it that other strokes do not share, kPa. */
  readonly ownSdKpa: number;
  /** Squared misfit per degree of freedom. */
  readonly misfit: number;
  readonly samplesUsed: number;
}

interface Prior {
  readonly shape: PulseShape;
  /** Standard deviations of ln width and of skew. */
  readonly logWidthSd: number;
  readonly skewSd: number;
}

export interface Measured {
  readonly samples: Samples;
  readonly gauge: Float64Array;
  readonly noiseKpa: number;
  readonly ambientKpa: number;
}

/** The shape is not known better than this share of the height. */
const SHAPE_SHARE = 0.004;
/** Towards its feet, where valves close and the crank's speed ripples, still less: share a squared width. */
const FOOT_SHARE = 0.02;
/** What the width is before any sample is seen, as a share of a turn, and how far engines differ (ln width, skew). */
const USUAL_WIDTH_TURNS = 0.15;
const USUAL_SKEW = 0.6;
const USUAL_SD = { logWidthSd: 0.25, skewSd: 0.6 };
/** A turn where strokes are too few to tell it, seconds (250 rpm). */
const USUAL_TURN_S = 0.24;

/** With fewer samples than this in one width, the samples do not show how flat the top is. */
const DENSE = 4;
/** Exponents tried then, and what each is worth before the samples speak: most cranks slow against the compression. */
const EXPONENTS = [
  { exponent: 1, odds: 0.1 },
  { exponent: USUAL_EXPONENT, odds: 0.25 },
  { exponent: 1.8, odds: 0.3 },
  { exponent: 2.6, odds: 0.25 },
  { exponent: 4, odds: 0.1 },
] as const;

/** What the family of shapes leaves out weighs the more the fewer samples there are: share of the height. */
const BLUR_SHARE = 0.006;

/**
 * Fits the top of every pulse. All strokes of a trace share one shape, learnt by folding their samples (which fall at
 * different phases) together; each stroke may then depart from it a little, as far as its own samples demand. Where samples
 * are so few that they leave the flatness of the top open, the likely ones are averaged and their spread widens the interval.
 */
export function fitPulses(m: Measured, rough: readonly RoughPulse[], turns: 1 | 2): FittedPulse[] {
  if (rough.length === 0) return [];
  const steps = rough.slice(1).map((r, i) => r.timeS - rough[i]!.timeS);
  const turnS = steps.length > 0 ? median(steps) / turns : USUAL_TURN_S;
  const paces = pacesOf(rough, turnS * turns);
  const guesses = firstGuesses(m, rough);
  if (medianWidth(guesses) * m.samples.rateHz > DENSE) {
    return refineAll(m, guesses, learnShape(m, guesses, paces, turnS, USUAL_EXPONENT), paces);
  }
  const learnt = EXPONENTS.map(({ exponent, odds }) => ({
    odds,
    ...learnShape(m, guesses, paces, turnS, exponent),
  }));
  const best = Math.min(...learnt.map((l) => l.chi2));
  const weights = learnt.map((l) => l.odds * Math.exp((best - l.chi2) / 2));
  const total = weights.reduce((a, b) => a + b, 0);
  const tried = learnt
    .map((l, i) => ({ weight: weights[i]! / total, learnt: l }))
    .filter((t) => t.weight > 0.01)
    .map((t) => ({ weight: t.weight, pulses: refineAll(m, guesses, t.learnt, paces) }));
  const density = medianWidth(tried[0]!.pulses) * m.samples.rateHz;
  const blur = BLUR_SHARE * Math.max(0, DENSE / density - 1);
  return rough.map((_, i) =>
    average(
      tried.map((t) => ({ weight: t.weight, pulse: t.pulses[i]! })),
      blur,
    ),
  );
}

/** A mean of fits of one pulse; where they differ, so may the truth, and alike for all strokes. */
function average(fits: readonly { weight: number; pulse: FittedPulse }[], blur: number): FittedPulse {
  const over = (get: (p: FittedPulse) => number) => {
    const weights = fits.reduce((sum, f) => sum + f.weight, 0);
    return fits.reduce((sum, f) => sum + f.weight * get(f.pulse), 0) / weights;
  };
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

interface Learnt {
  readonly pulses: readonly Pulse[];
  readonly shared: Prior;
  readonly chi2: number;
}

/** Gauss and Newton on all heights and times and one shape. */
function learnShape(
  m: Measured,
  guesses: readonly Pulse[],
  paces: readonly number[],
  turnS: number,
  exponent: number,
): Learnt {
  // the same width at half height whatever the exponent
  const wider = Math.sqrt((2 ** (1 / USUAL_EXPONENT) - 1) / (2 ** (1 / exponent) - 1));
  const usual: PulseShape = {
    widthS: USUAL_WIDTH_TURNS * turnS * wider,
    skew: (USUAL_SKEW * exponent) / USUAL_EXPONENT,
    exponent,
  };
  const seen = medianWidth(guesses) * m.samples.rateHz > 2;
  // a few samples a stroke leave the shape to what is usual; many overrule it
  const prior: Prior = { shape: usual, ...(seen ? { logWidthSd: 1, skewSd: 1 } : USUAL_SD) };
  let shared: Prior = {
    ...prior,
    shape: { ...usual, widthS: seen ? medianWidth(guesses) * wider : usual.widthS },
  };
  let pulses = guesses;
  let chi2 = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 15; round++) {
    const next = jointStep(m, pulses, paces, shared.shape, prior);
    pulses = next.pulses;
    shared = next.shared;
    chi2 = next.chi2;
    if (next.change < 1e-4) break;
  }
  return { pulses, shared, chi2 };
}

function refineAll(
  m: Measured,
  guesses: readonly Pulse[],
  { pulses, shared }: Learnt,
  paces: readonly number[],
): FittedPulse[] {
  const dense = medianWidth(guesses) * m.samples.rateHz > DENSE;
  return pulses.map((pulse, i) => {
    const widthS = shared.shape.widthS * paces[i]!;
    const own = { ...shared, shape: { ...shared.shape, widthS } };
    if (i > 0 || !dense) return refine(m, pulse, own, OWN_SD);
    // the first turns slower, from rest, and may start part-way up: its shape is its own
    return refine(m, { ...pulse, widthS: guesses[0]!.widthS }, own, FIRST_SD);
  });
}

/** How long each stroke takes, over the median: a crank that slows widens its pulses alike. */
function pacesOf(rough: readonly RoughPulse[], usualS: number): number[] {
  return rough.map((_, i) => {
    const from = Math.max(0, i - 2);
    const to = Math.min(rough.length - 1, i + 2);
    const pace = to > from ? (rough[to]!.timeS - rough[from]!.timeS) / (to - from) / usualS : 1;
    return Math.min(1.3, Math.max(0.75, pace));
  });
}

/** Widths to each side of the top that hold about `samples` samples, within what the shape stands for. */
function reachFor(m: Measured, widthS: number, samples: number, least: number): number {
  return Math.min(2.2, Math.max(least, samples / (2 * widthS * m.samples.rateHz)));
}

/** Height and time from the highest sample, width from the time above half height. */
function firstGuesses(m: Measured, rough: readonly RoughPulse[]): Pulse[] {
  const { timeS } = m.samples;
  return rough.map((r) => {
    const half = r.peakKpa / 2;
    const cross = (step: 1 | -1): number => {
      let i = r.top;
      while (m.gauge[i + step] !== undefined && m.gauge[i + step]! > half) i += step;
      const a = timeS[i]!;
      const b = timeS[i + step];
      if (b === undefined) return a;
      const share = (m.gauge[i]! - half) / (m.gauge[i]! - m.gauge[i + step]!);
      return a + share * (b - a);
    };
    const widthS = Math.max(0.004, (cross(1) - cross(-1)) / HALF_HEIGHT_WIDTH);
    return { peakKpa: r.peakKpa, timeS: r.timeS, widthS, skew: USUAL_SKEW, exponent: USUAL_EXPONENT };
  });
}

const medianWidth = (pulses: readonly Pulse[]) => median(pulses.map((p) => p.widthS));

/** Samples near the top of `pulse`: within `reach` widths of it. */
function reachOf(m: Measured, pulse: Pulse, reach: number): [number, number] {
  const r = reach * pulse.widthS;
  const { timeS } = m.samples;
  return [lowerBound(timeS, pulse.timeS - r), lowerBound(timeS, pulse.timeS + r)];
}

interface Normal {
  /** 4 x 4 and 4: by peak, time, ln width, skew. */
  readonly a: number[];
  readonly b: number[];
  chi2: number;
  count: number;
}

const value: PulseValue = { kpa: 0, byPeak: 0, byTime: 0, byLogWidth: 0, bySkew: 0 };

function normalOf(m: Measured, pulse: Pulse, from: number, to: number): Normal {
  const a = new Array<number>(16).fill(0);
  const b = [0, 0, 0, 0];
  const { timeS, jitterS } = m.samples;
  const normal: Normal = { a, b, chi2: 0, count: 0 };
  const height = pulse.peakKpa + m.ambientKpa;
  const at = pulseFunction(pulse, m.ambientKpa);
  for (let i = from; i < to; i++) {
    at(timeS[i]!, value);
    const out = Math.max(0, Math.abs(timeS[i]! - pulse.timeS) / pulse.widthS - 0.8);
    const shapeSd = height * (SHAPE_SHARE + FOOT_SHARE * out * out);
    const row = [value.byPeak, value.byTime, value.byLogWidth, value.bySkew];
    const variance = m.noiseKpa ** 2 + shapeSd ** 2 + (value.byTime * jitterS) ** 2 + 1e-9;
    const off = m.gauge[i]! - value.kpa;
    const z = Math.abs(off) / Math.sqrt(variance);
    // Huber: a sample further off than three deviations pulls no harder than one at three
    const weight = (z > 3 ? 3 / z : 1) / variance;
    for (let r = 0; r < 4; r++) {
      b[r]! += weight * row[r]! * off;
      for (let c = 0; c < 4; c++) a[r * 4 + c]! += weight * row[r]! * row[c]!;
    }
    normal.chi2 += z > 3 ? 6 * z - 9 : z * z;
    normal.count++;
  }
  return normal;
}

/** One Gauss-Newton step for all heights and times and the one shared shape. */
function jointStep(
  m: Measured,
  pulses: readonly Pulse[],
  paces: readonly number[],
  shared: PulseShape,
  prior: Prior,
) {
  const w = shared.widthS;
  const reach = reachFor(m, w, 8, 1);
  let chi2 = 0;
  let sww = 1 / prior.logWidthSd ** 2;
  let swk = 0;
  let skk = 1 / prior.skewSd ** 2;
  let bw = -Math.log(w / prior.shape.widthS) / prior.logWidthSd ** 2;
  let bk = (prior.shape.skew - shared.skew) / prior.skewSd ** 2;
  const parts = pulses.map((p, i) => {
    const pulse = { ...p, ...shared, widthS: w * paces[i]! };
    const [from, to] = reachOf(m, pulse, reach);
    const normal = normalOf(m, pulse, from, to);
    const { a, b } = normal;
    chi2 += normal.chi2;
    // a lone sample cannot tell height from time: hold the time loosely
    const own = [a[0]! + 1e-6, a[1]!, a[4]!, a[5]! + 1 / (0.5 * w) ** 2];
    const det = own[0]! * own[3]! - own[1]! * own[2]!;
    const inv = [own[3]! / det, -own[1]! / det, -own[2]! / det, own[0]! / det];
    const apply = (x: number, y: number): [number, number] => [
      inv[0]! * x + inv[1]! * y,
      inv[2]! * x + inv[3]! * y,
    ];
    const iw = apply(a[2]!, a[6]!);
    const ik = apply(a[3]!, a[7]!);
    sww += a[10]! - (a[2]! * iw[0] + a[6]! * iw[1]);
    swk += a[11]! - (a[2]! * ik[0] + a[6]! * ik[1]);
    skk += a[15]! - (a[3]! * ik[0] + a[7]! * ik[1]);
    const ib = apply(b[0]!, b[1]!);
    bw += b[2]! - (a[2]! * ib[0] + a[6]! * ib[1]);
    bk += b[3]! - (a[3]! * ib[0] + a[7]! * ib[1]);
    return { pulse, ib, iw, ik };
  });
  const det = sww * skk - swk * swk;
  const dw = clamp((skk * bw - swk * bk) / det, 0.25);
  const dk = clamp((sww * bk - swk * bw) / det, 0.5);
  const shape: PulseShape = {
    ...shared,
    widthS: w * Math.exp(dw),
    skew: Math.min(4, Math.max(-0.5, shared.skew + dk)),
  };
  let change = Math.abs(dw) + Math.abs(dk);
  const next = parts.map(({ pulse, ib, iw, ik }) => {
    const dPeak = ib[0] - iw[0] * dw - ik[0] * dk;
    const dTime = clamp(ib[1] - iw[1] * dw - ik[1] * dk, 0.4 * w);
    change = Math.max(change, Math.abs(dTime) / w);
    const peakKpa = Math.max(0.3 * pulse.peakKpa, pulse.peakKpa + clamp(dPeak, 0.5 * pulse.peakKpa));
    return { ...shape, peakKpa, timeS: pulse.timeS + dTime };
  });
  chi2 +=
    (Math.log(w / prior.shape.widthS) / prior.logWidthSd) ** 2 +
    ((shared.skew - prior.shape.skew) / prior.skewSd) ** 2;
  return {
    pulses: next,
    shared: { shape, logWidthSd: Math.sqrt(skk / det), skewSd: Math.sqrt(sww / det) },
    chi2,
    change,
  };
}

const clamp = (v: number, limit: number) => (Number.isFinite(v) ? Math.max(-limit, Math.min(limit, v)) : 0);

/** Where a gap leaves fewer than seven samples in the window, it is opened until there are, as far as the shape stands. */
function widenOverGap(m: Measured, pulse: Pulse, reach: number): number {
  for (let r = reach; r < 2.2; r *= 1.25) {
    const [from, to] = reachOf(m, pulse, r);
    if (to - from >= 7) return r;
  }
  return 2.2;
}

/** How far one stroke's shape departs from the shared one, and how far the first does. */
const OWN_SD = { logWidthSd: 0.08, skewSd: 0.15 };
const FIRST_SD = { logWidthSd: 0.8, skewSd: 0.8 };

/** Noise may move a fitted top by this share of it. */
const TOP_NOISE_SHARE = 0.0015;

/** Lets one stroke depart from the shared shape, on a window as wide as the shape holds. */
function refine(m: Measured, start: Pulse, shared: Prior, own: typeof OWN_SD): FittedPulse {
  const prior: Prior = {
    shape: shared.shape,
    logWidthSd: Math.hypot(own.logWidthSd, shared.logWidthSd),
    skewSd: Math.hypot(own.skewSd, shared.skewSd),
  };
  // narrow, for the shape is surest near the top, but with samples enough to see it through the noise
  const quiet = ((1.5 * m.noiseKpa) / (TOP_NOISE_SHARE * start.peakKpa)) ** 2;
  const reach = Math.max(
    reachFor(m, start.widthS, 7, 0.5),
    Math.min(1, reachFor(m, start.widthS, quiet, 0.5)),
  );
  let best = refineOn(m, start, prior, own, widenOverGap(m, start, reach));
  if (best.misfit > 3) {
    const loose: Prior = { shape: shared.shape, logWidthSd: 0.6, skewSd: 1 };
    for (const reach of [1.0, 0.7, 0.5, 0.35]) {
      const tried = refineOn(m, best, loose, own, reach);
      if (tried.samplesUsed < 6) break;
      if (tried.misfit < best.misfit) best = tried;
      if (best.misfit < 2) break;
    }
  }
  return best;
}

function refineOn(m: Measured, start: Pulse, prior: Prior, own: typeof OWN_SD, reach: number): FittedPulse {
  let pulse = start;
  const wPrecision = 1 / prior.logWidthSd ** 2;
  const kPrecision = 1 / prior.skewSd ** 2;
  let sd = Number.POSITIVE_INFINITY;
  let misfit = Number.POSITIVE_INFINITY;
  let used = 0;
  let ownSd = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 10; round++) {
    const [from, to] = reachOf(m, pulse, reach);
    const { a, b, chi2, count } = normalOf(m, pulse, from, to);
    used = count;
    if (count === 0) break;
    a[0]! += 1 / (0.5 * start.peakKpa + m.ambientKpa) ** 2;
    a[5]! += 1 / (0.5 * pulse.widthS) ** 2;
    a[10]! += wPrecision;
    b[2]! -= wPrecision * Math.log(pulse.widthS / prior.shape.widthS);
    a[15]! += kPrecision;
    b[3]! -= kPrecision * (pulse.skew - prior.shape.skew);
    const step = solveSpd(a, b);
    const column = solveSpd(a, [1, 0, 0, 0]);
    if (!step || !column) break;
    misfit = chi2 / Math.max(1, count - 2);
    sd = Math.sqrt(column[0]! * Math.max(1, misfit));
    a[10]! += 1 / own.logWidthSd ** 2;
    a[15]! += 1 / own.skewSd ** 2;
    const tight = solveSpd(a, [1, 0, 0, 0]);
    ownSd = tight ? Math.sqrt(tight[0]! * Math.max(1, misfit)) : sd;
    const timeStep = clamp(step[1]!, 0.4 * pulse.widthS);
    const next: Pulse = {
      ...pulse,
      peakKpa: Math.max(0.3 * pulse.peakKpa, pulse.peakKpa + clamp(step[0]!, 0.5 * pulse.peakKpa)),
      timeS: pulse.timeS + timeStep,
      widthS: pulse.widthS * Math.exp(clamp(step[2]!, 0.3)),
      skew: pulse.skew + clamp(step[3]!, 0.5),
    };
    const done =
      Math.abs(timeStep) < 1e-3 * pulse.widthS &&
      Math.abs(next.peakKpa - pulse.peakKpa) < 1e-4 * pulse.peakKpa;
    pulse = next;
    if (done) break;
  }
  return { ...pulse, peakSdKpa: sd, ownSdKpa: Math.min(sd, ownSd), misfit, samplesUsed: used };
}
