/**
 * Shape of a compression pulse around its peak.
 *
 * Near top dead centre the cylinder volume is Vc v(y), with v = 1 + y^2 - b y^4 and y the scaled crank angle; b
 * represents the cosine. A gas compressed with the polytropic exponent n that leaks through a fixed hole follows d ln
 * P = -n d ln V - k dt / V, so
 *
 *   ln P(y) = const - n ln v(y) - skew atan(y),
 *
 * with its peak a little before top dead centre where it leaks: at y0, close to -skew / 2n. Width and skew depend on
 * engine and speed and are nearly equal for all strokes of a trace. Height and time differ from stroke to stroke.
 */
export interface PulseShape {
  /** Seconds per unit of y. */
  readonly widthS: number;
  /** Asymmetry by the leak; 0 without one. */
  readonly skew: number;
  /**
   * n. That of the charge is 1.25 to 1.35; a crank that slows against the compression makes the peak look flatter.
   */
  readonly exponent: number;
}

/** A shape with its height and time. */
export interface Pulse extends PulseShape {
  /** Gauge kPa at the peak. */
  readonly peakKpa: number;
  /** Time of the peak. */
  readonly timeS: number;
}

/** Polytropic exponent of a motored charge (Heywood 1988, sec. 9.2.2, recalled: 1.25 to 1.35). */
export const USUAL_EXPONENT = 1.3;
/** Fits the slider-crank volume (ratio 10, rod 3.3 cranks; computed) within 1 % to 120 degrees, where y^2 is 12. */
const QUARTIC = 0.034;
const FARTHEST_Y = 3.5;

/** v(y): volume over clearance volume. */
export const volumeAt = (y: number) => 1 + y * y * (1 - QUARTIC * y * y);
/** d ln P / dy. */
export const slopeAt = (y: number, skew: number, exponent: number) =>
  (-exponent * y * (2 - 4 * QUARTIC * y * y)) / volumeAt(y) - skew / (1 + y * y);

/** Peak of a shape: y, its derivative by skew, and ln v and atan y there. */
export function apexOf({
  skew,
  exponent,
}: PulseShape): [y: number, bySkew: number, logV: number, turn: number] {
  let y = -skew / (2 * exponent);
  let bend = 0;
  for (let i = 0; i < 4; i++) {
    const slope = slopeAt(y, skew, exponent);
    bend = Math.min(-0.2, (slopeAt(y + 1e-4, skew, exponent) - slope) / 1e-4);
    y = clampY(y - slope / bend);
  }
  return [y, 1 / (1 + y * y) / bend, Math.log(volumeAt(y)), Math.atan(y)];
}

/** Limits y to the range of the volume formula. */
export const clampY = (y: number) => Math.max(-FARTHEST_Y, Math.min(FARTHEST_Y, y));

/** The y at which an unskewed pulse of the usual exponent has fallen to `share` of its gauge height. */
export function yAtHeight(share: number, peakKpa: number, ambientKpa: number): number {
  const left = (share * peakKpa + ambientKpa) / (peakKpa + ambientKpa);
  return Math.sqrt(left ** (-1 / USUAL_EXPONENT) - 1);
}
