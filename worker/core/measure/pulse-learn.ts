import { median } from '../statistics.ts';
import {
  type KnownShape,
  type Measured,
  normalOf,
  reachFor,
  reachOf,
  stepped,
  upperReach,
} from './normal-equations.ts';
import { type Pulse, type PulseShape, USUAL_EXPONENT } from './pulse-shape.ts';

/** Prior mean of the width, as a share of a turn. */
const USUAL_WIDTH_TURNS = 0.15;
/** Prior mean of the skew, at the usual exponent. */
export const USUAL_SKEW = 0.6;
/** Spread of both between engines, standard deviations. */
const USUAL_SD = { logWidthSd: 0.25, skewSd: 0.6 };
/** Samples per width above which the prior is relaxed. */
const SAMPLES_PER_WIDTH_FOR_SHAPE = 2;
const FREE_SD = { logWidthSd: 1, skewSd: 1 };
const ROUNDS = 15;
/**
 * Largest step, in widths, at which the iteration stops. Samples that enter and leave the windows cause steps half as
 * long.
 */
const CONVERGED = 1e-3;

/** A shared shape and the pulses that it was learnt from. */
export interface LearntShape {
  readonly pulses: readonly Pulse[];
  readonly shared: KnownShape;
  /** Squared misfit of all samples, plus that of the shape to its prior. */
  readonly chi2: number;
}

/**
 * Learns one shape from all strokes by Gauss-Newton; height and time are free for each stroke. `paces` are the
 * strokes' periods over the usual one, `turnS` the duration of a crank turn in seconds.
 */
export function learnShape(
  m: Measured,
  guesses: readonly Pulse[],
  paces: readonly number[],
  turnS: number,
  exponent: number,
): LearntShape {
  // Keeps the width at half height whatever the exponent.
  const wider = Math.sqrt((2 ** (1 / USUAL_EXPONENT) - 1) / (2 ** (1 / exponent) - 1));
  const skew = (USUAL_SKEW * exponent) / USUAL_EXPONENT;
  const usual: PulseShape = { widthS: USUAL_WIDTH_TURNS * turnS * wider, skew, exponent };
  const seenS = median(guesses.map((p) => p.widthS));
  const isInformative = seenS * m.samples.rateHz > SAMPLES_PER_WIDTH_FOR_SHAPE;
  const prior: KnownShape = { shape: usual, ...(isInformative ? FREE_SD : USUAL_SD) };
  if (!isInformative) return learnFrom(m, guesses, usual, paces, prior);
  // A crank that stalls on the way up makes pulses with shoulders, whose peaks are narrower than their half height
  // suggests.
  const from = (share: number) =>
    learnFrom(m, guesses, { ...usual, widthS: share * seenS * wider }, paces, prior);
  const [wide, narrow] = [from(1), from(0.45)];
  return narrow.chi2 < wide.chi2 ? narrow : wide;
}

function learnFrom(
  m: Measured,
  guesses: readonly Pulse[],
  start: PulseShape,
  paces: readonly number[],
  prior: KnownShape,
): LearntShape {
  const first = guesses.map((p) => ({ ...p, ...start }));
  let learnt: LearntShape = {
    pulses: first,
    shared: { ...prior, shape: start },
    chi2: Number.POSITIVE_INFINITY,
  };
  for (let round = 0; round < ROUNDS; round++) {
    const next = jointStep(m, learnt, first, paces, prior);
    learnt = next.learnt;
    if (next.change < CONVERGED) break;
  }
  return learnt;
}

/**
 * One Gauss-Newton step for all heights and times and the shared shape. Heights and times are eliminated stroke by
 * stroke.
 */
function jointStep(
  m: Measured,
  { pulses, shared }: LearntShape,
  first: readonly Pulse[],
  paces: readonly number[],
  prior: KnownShape,
) {
  const { shape } = shared;
  const least = upperReach(m, median(first.map((p) => p.peakKpa)));
  const reach = reachFor(m, shape.widthS, 8, least);
  const wide = Math.log(shape.widthS / prior.shape.widthS);
  const leant = shape.skew - prior.shape.skew;
  let sww = 1 / prior.logWidthSd ** 2;
  let swk = 0;
  let skk = 1 / prior.skewSd ** 2;
  let bw = -wide * sww;
  let bk = -leant * skk;
  let chi2 = wide * wide * sww + leant * leant * skk;
  const parts = pulses.map((p, i) => {
    const pulse = { ...p, ...shape, widthS: shape.widthS * paces[i]! };
    const normal = normalOf(m, pulse, ...reachOf(m, pulse, reach));
    const own = eliminated(normal.a, normal.b, shape.widthS);
    const { a, b } = normal;
    sww += a[10]! - (a[2]! * own.w[0] + a[6]! * own.w[1]);
    swk += a[11]! - (a[2]! * own.k[0] + a[6]! * own.k[1]);
    skk += a[15]! - (a[3]! * own.k[0] + a[7]! * own.k[1]);
    bw += b[2]! - (a[2]! * own.b[0] + a[6]! * own.b[1]);
    bk += b[3]! - (a[3]! * own.b[0] + a[7]! * own.b[1]);
    chi2 += normal.chi2;
    return { pulse, own };
  });
  const det = sww * skk - swk * swk;
  const dw = (skk * bw - swk * bk) / det;
  const dk = (sww * bk - swk * bw) / det;
  const moved = stepped({ ...first[0]!, ...shape }, { ...first[0]! }, [0, 0, dw, dk]);
  const { widthS, skew } = moved;
  let change = Math.abs(dw) + Math.abs(dk);
  const next = parts.map(({ pulse, own }, i) => {
    const dPeak = own.b[0] - own.w[0] * dw - own.k[0] * dk;
    const dTime = own.b[1] - own.w[1] * dw - own.k[1] * dk;
    change = Math.max(change, Math.abs(dTime) / shape.widthS);
    return { ...stepped(pulse, first[i]!, [dPeak, dTime, 0, 0]), widthS, skew };
  });
  const sds = { logWidthSd: Math.sqrt(skk / det), skewSd: Math.sqrt(sww / det) };
  return { learnt: { pulses: next, shared: { shape: { ...shape, widthS, skew }, ...sds }, chi2 }, change };
}

/**
 * Eliminates height and time: their solution for the right side (`b`) and for the columns of width (`w`) and skew
 * (`k`).
 */
function eliminated(a: readonly number[], b: readonly number[], widthS: number) {
  // A weak prior on time: a single sample cannot separate height from time.
  const own = [a[0]! + 1e-6, a[1]!, a[4]!, a[5]! + 1 / (0.5 * widthS) ** 2] as const;
  const det = own[0] * own[3] - own[1] * own[2];
  const solve = (x: number, y: number): [number, number] => [
    (own[3] * x - own[1] * y) / det,
    (own[0] * y - own[2] * x) / det,
  ];
  return { b: solve(b[0]!, b[1]!), w: solve(a[2]!, a[6]!), k: solve(a[3]!, a[7]!) };
}
