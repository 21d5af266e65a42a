/** Figures of the pulses of an open hose: speed at the top, pressure before compression, and where compression begins. */
import type { PulseFigures, Stroke } from '../reading.ts';
import { lowerBound, mean, median } from '../statistics.ts';

/** Fewest samples in a half width. With fewer, linear interpolation is too coarse. */
const LEAST_SAMPLES = 4;
/** Strokes at the end of a trace from which the figures are taken. */
const MOST_STROKES = 12;
/** Pressures above ambient between which the rise is timed, kPa: above the noise, and well below half a peak. */
const LOW_KPA = 20;
const HIGH_KPA = 100;
/**
 * Windows for the pressure in the exhaust and in the intake stroke, as shares of the period before a peak: 460 to 375 and 290
 * to 200 degrees before top dead centre.
 */
const EXHAUST = { from: 0.64, to: 0.52 } as const;
const INTAKE = { from: 0.4, to: 0.28 } as const;
/** Polytropic exponents from closing to the top, and of the first part, which loses hardly any heat yet. */
const WHOLE_EXPONENT = 1.3;
const FIRST_EXPONENT = 1.35;
/** Length of a usual rod, in crank radii. */
const ROD = 3.3;
/** Pressure before compression below which the charge is throttled and does not begin at ambient pressure, kPa. */
const THROTTLED_KPA = -6;
/** Pressure above which a window holds part of a pulse: the crank almost stopped. */
const NOT_INTAKE_KPA = 10;
/** Closing when none is measured, degrees after bottom dead centre. */
const USUAL_CLOSING_DEG = 55;
const HALVINGS = 24;

interface PulseTimes {
  readonly periodS: number;
  readonly halfWidthS: number;
  /** Time from `LOW_KPA` to `HIGH_KPA` on the rise, and time above `HIGH_KPA`. */
  readonly riseS: number;
  readonly aboveS: number;
  readonly intakeKpa: number;
}

/**
 * Figures over the strokes of an open hose, medians. `kpa` is gauge pressure; `strokes` are on the clock of `timeS`; `turns`
 * are the crank turns between strokes. `null` with fewer than two strokes of enough samples.
 */
export function pulseFigures(
  timeS: Float64Array,
  kpa: Float64Array,
  strokes: readonly Stroke[],
  turns: 1 | 2,
  ambientKpa: number,
): PulseFigures | null {
  const full = strokes.filter((s) => s.peakKpa !== null && !s.partial);
  const times = full
    .slice(-MOST_STROKES)
    .flatMap((stroke) => timesOf(timeS, kpa, stroke, before(stroke, full)) ?? []);
  if (times.length < 2) return null;
  const usual = (of: (one: PulseTimes) => number): number => median(times.map(of).filter(Number.isFinite));
  const halfWidthS = usual((one) => one.halfWidthS);
  const intake = turns === 2 ? usual((one) => one.intakeKpa) : Number.NaN;
  const intakeKpa = intake > -ambientKpa && intake < NOT_INTAKE_KPA ? intake : null;
  const peakKpa = median(full.map((s) => s.peakKpa!));
  const ratio = ((peakKpa + ambientKpa) / ambientKpa) ** (1 / WHOLE_EXPONENT);
  const closesDegAbdc =
    intakeKpa === null || intakeKpa < THROTTLED_KPA
      ? null
      : closing(
          ratio,
          usual((one) => one.periodS),
          usual((one) => one.riseS),
          usual((one) => one.aboveS),
          ambientKpa,
        );
  // The travel at closing scales the angle at half height, but weakly.
  const halfDeg = angleAt(peakKpa / 2, ratio, closesDegAbdc ?? USUAL_CLOSING_DEG, ambientKpa, WHOLE_EXPONENT);
  return { halfWidthS, topRpm: (2 * halfDeg) / halfWidthS / 6, intakeKpa, closesDegAbdc };
}

const before = (stroke: Stroke, full: readonly Stroke[]): Stroke | undefined =>
  full.find(({ number }) => number === stroke.number - 1);

function timesOf(
  timeS: Float64Array,
  kpa: Float64Array,
  { timeS: topS, peakKpa }: Stroke,
  earlier: Stroke | undefined,
): PulseTimes | null {
  if (earlier === undefined) return null;
  const periodS = topS - earlier.timeS;
  const top = Math.min(timeS.length - 1, lowerBound(timeS, topS));
  const cross = (gaugeKpa: number, step: 1 | -1): number => crossing(timeS, kpa, gaugeKpa, top, step);
  const halfWidthS = cross(peakKpa! / 2, 1) - cross(peakKpa! / 2, -1);
  const samples = (halfWidthS * (timeS.length - 1)) / (timeS[timeS.length - 1]! - timeS[0]!);
  if (!(halfWidthS > 0) || samples < LEAST_SAMPLES) return null;
  const level = ({ from, to }: typeof EXHAUST | typeof INTAKE): number => {
    const inside = kpa.subarray(
      lowerBound(timeS, topS - from * periodS),
      lowerBound(timeS, topS - to * periodS),
    );
    return inside.length < 2 ? Number.NaN : mean(inside);
  };
  return {
    periodS,
    halfWidthS,
    riseS: cross(HIGH_KPA, -1) - cross(LOW_KPA, -1),
    aboveS: cross(HIGH_KPA, 1) - cross(HIGH_KPA, -1),
    // Against the exhaust stroke, so that a zero that moved has no effect.
    intakeKpa: level(INTAKE) - level(EXHAUST),
  };
}

/** Time at which the pressure falls to `level` on one side of the sample `top`, interpolated; `NaN` when it does not. */
export function crossing(
  timeS: Float64Array,
  kpa: Float64Array,
  level: number,
  top: number,
  step: 1 | -1,
): number {
  let i = top;
  while (kpa[i] !== undefined && kpa[i]! > level) i += step;
  const inside = kpa[i - step];
  if (kpa[i] === undefined || inside === undefined) return Number.NaN;
  const share = (level - kpa[i]!) / (inside - kpa[i]!);
  return timeS[i]! + share * (timeS[i - step]! - timeS[i]!);
}

/** Share of the stroke from top dead centre at a crank angle (slider-crank, Heywood 1988, eq. 2.4 to 2.6). */
function travelAt(crankDeg: number): number {
  const angle = (crankDeg * Math.PI) / 180;
  return (1 - Math.cos(angle) + ROD - Math.sqrt(ROD * ROD - Math.sin(angle) ** 2)) / 2;
}

/** Argument from `low` to `high` at which `of`, which rises, reaches `value`. */
function inverse(of: (x: number) => number, value: number, low: number, high: number): number {
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (of(middle) < value) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Angle from top dead centre at which a charge closed at `closingDeg` and compressed by `ratio` reaches `gaugeKpa`. */
function angleAt(
  gaugeKpa: number,
  ratio: number,
  closingDeg: number,
  ambientKpa: number,
  exponent: number,
): number {
  const volume = ratio * (ambientKpa / (ambientKpa + gaugeKpa)) ** (1 / exponent);
  const travel = (Math.max(0, volume - 1) / (ratio - 1)) * travelAt(180 - closingDeg);
  return inverse(travelAt, travel, 0, 180);
}

/**
 * Intake closing by the time of the first rise: the later it closes, the steeper the piston's path, and the sooner the pressure
 * climbs. The speed there is that of the rest of the cycle, outside the pulse, where nothing slows the crank. `null` without
 * the times, or at the ends of the range.
 */
function closing(
  ratio: number,
  periodS: number,
  riseS: number,
  aboveS: number,
  ambientKpa: number,
): number | null {
  const laterBy = (closingDeg: number): number => {
    const angle = (kpa: number): number => angleAt(kpa, ratio, closingDeg, ambientKpa, FIRST_EXPONENT);
    const high = angle(HIGH_KPA);
    const degPerS = (720 - 2 * high) / (periodS - aboveS);
    return riseS - (angle(LOW_KPA) - high) / degPerS;
  };
  const least = 5;
  const most = 115;
  if (!(laterBy(least) < 0) || !(laterBy(most) > 0)) return null;
  return inverse(laterBy, 0, least, most);
}
