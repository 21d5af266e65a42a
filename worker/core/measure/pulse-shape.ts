/**
 * The shape of a compression pulse around its top.
 *
 * Near top dead centre the cylinder volume is Vc v(y), with v = 1 + y^2 - b y^4 and y the crank angle scaled so that the
 * first term is right; b stands for the cosine. A gas compressed with the polytropic exponent n and leaking through a fixed
 * hole follows d ln P = -n d ln V - k dt / V, so
 *
 *   ln P(y) = const - n ln v(y) - skew atan(y),
 *
 * with its top a little before top dead centre where it leaks: at y0, close to -skew / 2n. Width and skew belong to
 * engine and speed and are nearly the same for all strokes of a trace; height and time are each stroke's own.
 */
export interface PulseShape {
  /** Seconds in which y grows by one. */
  readonly widthS: number;
  readonly skew: number;
  /** n. The charge's own is 1.25 to 1.35; a crank that slows against the compression makes the top look flatter. */
  readonly exponent: number;
}

export interface Pulse extends PulseShape {
  /** Gauge kPa at the top. */
  readonly peakKpa: number;
  /** When the top is reached. */
  readonly timeS: number;
}

/** Polytropic exponent of a motored charge (Heywood 1988, sec. 9.2.2, recalled: 1.25 to 1.35). */
export const USUAL_EXPONENT = 1.3;
/** Fits the slider-crank volume (ratio 10, rod 3.3 cranks; computed) within 1 % to 120 degrees, where y^2 is 12. */
const QUARTIC = 0.034;
const FARTHEST_Y = 3.5;

/** Values and derivatives by (peakKpa, timeS, ln widthS, skew) of the gauge pressure at one moment. */
export interface PulseValue {
  kpa: number;
  byPeak: number;
  byTime: number;
  byLogWidth: number;
  bySkew: number;
}

const volume = (y: number) => 1 + y * y * (1 - QUARTIC * y * y);
const slopeOf = (y: number, { skew, exponent }: PulseShape) =>
  (-exponent * y * (2 - 4 * QUARTIC * y * y)) / volume(y) - skew / (1 + y * y);

/** The pulse as a function of time; it writes its answer into `out`. */
export function pulseFunction(pulse: Pulse, ambientKpa: number): (t: number, out: PulseValue) => void {
  const { skew, exponent } = pulse;
  let y0 = -skew / (2 * exponent);
  let bend = -2 * exponent;
  for (let i = 0; i < 4; i++) {
    bend = Math.min(-0.2, (slopeOf(y0 + 1e-4, pulse) - slopeOf(y0 - 1e-4, pulse)) / 2e-4);
    y0 = clampY(y0 - slopeOf(y0, pulse) / bend);
  }
  const y0BySkew = 1 / (1 + y0 * y0) / bend;
  const topLog = Math.log(volume(y0));
  const topTurn = Math.atan(y0);
  const height = pulse.peakKpa + ambientKpa;
  return (t, out) => {
    const x = (t - pulse.timeS) / pulse.widthS;
    const y = clampY(x + y0);
    const turn = Math.atan(y) - topTurn;
    const v = volume(y);
    const shape = Math.exp(exponent * (topLog - Math.log(v)) - skew * turn);
    const absolute = height * shape;
    const slope = (-exponent * y * (2 - 4 * QUARTIC * y * y)) / v - skew / (1 + y * y);
    out.kpa = absolute - ambientKpa;
    out.byPeak = shape;
    out.byTime = (-absolute * slope) / pulse.widthS;
    out.byLogWidth = -absolute * slope * x;
    out.bySkew = absolute * (slope * y0BySkew - turn);
  };
}

const clampY = (y: number) => Math.max(-FARTHEST_Y, Math.min(FARTHEST_Y, y));

/** The y at which an unskewed pulse of the usual exponent has sunk to `share` of its gauge height. */
export function yAtHeight(share: number, peakKpa: number, ambientKpa: number): number {
  const left = (share * peakKpa + ambientKpa) / (peakKpa + ambientKpa);
  return Math.sqrt(left ** (-1 / USUAL_EXPONENT) - 1);
}
