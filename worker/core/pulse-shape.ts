/**
 * The shape of a compression pulse around its top.
 *
 * Near top dead centre the cylinder volume is Vc (1 + c a^2), a the crank angle. A gas compressed with the polytropic
 * exponent n and leaking through a fixed hole follows d ln P = -n d ln V - k dt / V, so
 *
 *   ln P(y) = const - n ln(1 + y^2) - skew atan(y),   y = sqrt(c) a,
 *
 * with its top at y0 = -skew / 2n: a leaking cylinder peaks before top dead centre. Width and skew belong to engine and
 * speed and are nearly the same for all strokes of a trace; height and time are each stroke's own.
 */
export interface PulseShape {
  /** Seconds in which y grows by one. */
  readonly widthS: number;
  readonly skew: number;
}

export interface Pulse extends PulseShape {
  /** Gauge kPa at the top. */
  readonly peakKpa: number;
  /** When the top is reached. */
  readonly timeS: number;
}

/** Polytropic exponent of a motored charge (Heywood 1988, sec. 9.2.2, recalled: 1.25 to 1.35). */
const EXPONENT = 1.3;

/** Values and derivatives by (peakKpa, timeS, ln widthS, skew) of the gauge pressure at `t`. */
export interface PulseValue {
  kpa: number;
  byPeak: number;
  byTime: number;
  byLogWidth: number;
  bySkew: number;
}

export function pulseAt(pulse: Pulse, ambientKpa: number, t: number, out: PulseValue): PulseValue {
  const x = (t - pulse.timeS) / pulse.widthS;
  const y0 = -pulse.skew / (2 * EXPONENT);
  const y = x + y0;
  const turn = Math.atan(y) - Math.atan(y0);
  const shape = Math.exp(-EXPONENT * Math.log((1 + y * y) / (1 + y0 * y0)) - pulse.skew * turn);
  const absolute = (pulse.peakKpa + ambientKpa) * shape;
  const slope = -(2 * EXPONENT * y + pulse.skew) / (1 + y * y);
  out.kpa = absolute - ambientKpa;
  out.byPeak = shape;
  out.byTime = (-absolute * slope) / pulse.widthS;
  out.byLogWidth = -absolute * slope * x;
  out.bySkew = absolute * (-slope / (2 * EXPONENT) - turn);
  return out;
}

/** Width at half the gauge height, in units of `widthS`, of an unskewed pulse well above ambient. */
export const HALF_HEIGHT_WIDTH = 1.6;
