import { median } from '../statistics.ts';
import type { HeldStep } from './held-steps.ts';

/** Cranking speed by the steps of a check-valve trace. */
export interface HeldSpeed {
  readonly rpm: number;
  /** Standard deviation as a share of `rpm`. */
  readonly sdShare: number;
}

/** Fewest steps: two periods, so that one can contradict the other. */
const LEAST_STEPS = 3;
/** Largest standard deviation of a speed that is given, as a share, so that 2 % is exceeded once in twenty at most. */
const MOST_SD_SHARE = 0.009;
/**
 * Slowing of a cranked engine per stroke: mean and standard deviation, as shares of the period. Own estimate: a charged
 * battery sags by 3 % and a weak one by 15 % in ten seconds, about 20 strokes.
 */
const SLOWING = { mean: 0.003, sd: 0.003 };
/** Strokes from the first to the middle of a test as instructed, which has six strokes or a few more. */
const MIDDLE_STROKES = 3.5;
/** Error of the time of a step by the flow through the valve and the leak, as a share of a turn. */
const FLOW_TURNS = 0.003;
/** Turns per unit of the scaled angle of the pulse (measure/README.md), at a compression ratio of 9.5. */
const PULSE_TURNS = 0.096;
const EXPONENT = 1.3;
/** Share of the correction for the margin that is uncertain. */
const UNSURE = 0.4;
/** Largest residual of a step, in standard deviations. */
const MOST_DEVIATION = 3;
/** Most steps left out as outliers: a rise of noise, or a crank that still gains speed. */
const MOST_OUTLIERS = 2;

interface Mark {
  /** Number of periods since the first step. */
  readonly number: number;
  readonly timeS: number;
  readonly sdS: number;
}

/**
 * Speed at the middle of the test: a weighted line through the times of the steps over their numbers, with a slight
 * curvature for an engine that slows. `null` with too few steps or when they do not fix it. `turns`: crank turns between
 * strokes; `ambientKpa`: the barometer.
 */
export function heldSpeed(all: readonly HeldStep[], turns: 1 | 2, ambientKpa: number): HeldSpeed | null {
  const steps = all.filter(({ timeSdS }) => timeSdS < Number.POSITIVE_INFINITY);
  if (steps.length < LEAST_STEPS) return null;
  const gaps = steps.slice(1).map((s, i) => s.timeS - steps[i]!.timeS);
  const sharp = gaps.filter((_, i) => steps[i]!.sharp && steps[i + 1]!.sharp);
  const periodS = median(sharp.length > 0 ? sharp : gaps);
  return fitted(marksOf(steps, gaps, periodS, turns, ambientKpa), turns);
}

/** Numbers the steps and moves each from the end of its rise to the top. */
function marksOf(
  steps: readonly HeldStep[],
  gaps: readonly number[],
  periodS: number,
  turns: 1 | 2,
  ambientKpa: number,
): Mark[] {
  const turnS = periodS / turns;
  let number = 0;
  return steps.map(({ timeS, timeSdS, marginKpa, peakKpa }, i) => {
    if (i > 0) number += Math.max(1, Math.round(gaps[i - 1]! / periodS));
    const early = Math.sqrt(marginKpa / (EXPONENT * (peakKpa + ambientKpa))) * PULSE_TURNS * turnS;
    return { number, timeS: timeS + early, sdS: Math.hypot(timeSdS, UNSURE * early, FLOW_TURNS * turnS) };
  });
}

/** Speed by least squares with the slowing's prior; a step that contradicts the others is left out. */
function fitted(marks: readonly Mark[], turns: 1 | 2, outliers = MOST_OUTLIERS): HeldSpeed | null {
  if (marks.length < LEAST_STEPS) return null;
  const line = fitLine(marks);
  if (!line) return null;
  const deviations = marks.map((mark) => Math.abs(mark.timeS - line.at(mark.number)) / mark.sdS);
  const worst = Math.max(...deviations);
  if (worst > MOST_DEVIATION) {
    const rest = marks.filter((_, i) => deviations[i]! < worst);
    return outliers > 0 ? fitted(rest, turns, outliers - 1) : null;
  }
  return line.sdShare < MOST_SD_SHARE ? { rpm: (60 * turns) / line.periodS, sdShare: line.sdShare } : null;
}

/**
 * Fits `time = start + period (u + slowing u^2 / 2)`, with `u` the strokes from the middle of the test. `undefined` when
 * undetermined.
 */
function fitLine(marks: readonly Mark[]) {
  const [first, last] = [marks[0]!, marks.at(-1)!];
  const roughS = (last.timeS - first.timeS) / (last.number - first.number);
  // Unknown: start, period, period x slowing; only the last has a prior.
  const normal = new Float64Array(6);
  const right = [0, 0, 0];
  for (const { number, timeS, sdS } of marks) {
    add(normal, right, number - MIDDLE_STROKES, timeS - first.timeS, sdS);
  }
  const precision = (SLOWING.sd * roughS) ** -2;
  normal[5]! += precision;
  right[2]! += SLOWING.mean * roughS * precision;
  const solved = solve3(normal, right);
  if (!solved) return undefined;
  const [startS, periodS, bendS] = solved.x;
  return {
    periodS,
    sdShare: Math.sqrt(solved.secondVariance) / periodS,
    at(number: number): number {
      const u = number - MIDDLE_STROKES;
      return first.timeS + startS + periodS * u + 0.5 * bendS * u * u;
    },
  };
}

/** Adds one step to the normal equations: upper triangle in the order 00 01 02 11 12 22. */
function add(normal: Float64Array, right: number[], u: number, timeS: number, sdS: number): void {
  const row = [1, u, 0.5 * u * u] as const;
  const weight = 1 / sdS ** 2;
  let at = 0;
  for (let i = 0; i < 3; i++) {
    right[i]! += weight * row[i]! * timeS;
    for (let j = i; j < 3; j++) normal[at++]! += weight * row[i]! * row[j]!;
  }
}

/** Solves three symmetric equations; `secondVariance` is the middle entry of the inverse. `undefined` when singular. */
function solve3([a, b, c, d, e, f]: Float64Array, right: readonly number[]) {
  const [A, B, C] = [d! * f! - e! * e!, c! * e! - b! * f!, b! * e! - c! * d!];
  const determinant = a! * A + b! * B + c! * C;
  if (!(determinant > 0)) return undefined;
  const [D, E, F] = [a! * f! - c! * c!, b! * c! - a! * e!, a! * d! - b! * b!];
  const [p, q, r] = right as [number, number, number];
  const x = [A * p + B * q + C * r, B * p + D * q + E * r, C * p + E * q + F * r].map((v) => v / determinant);
  return { x: x as [number, number, number], secondVariance: D / determinant };
}
