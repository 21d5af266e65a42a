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

export const volumeAt = (y: number) => 1 + y * y * (1 - QUARTIC * y * y);
/** d ln P / dy. */
export const slopeAt = (y: number, skew: number, exponent: number) =>
  (-exponent * y * (2 - 4 * QUARTIC * y * y)) / volumeAt(y) - skew / (1 + y * y);

/** Where a shape has its top: y and how it moves with skew, and ln v and atan y there. */
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

export const clampY = (y: number) => Math.max(-FARTHEST_Y, Math.min(FARTHEST_Y, y));

/** The y at which an unskewed pulse of the usual exponent has sunk to `share` of its gauge height. */
export function yAtHeight(share: number, peakKpa: number, ambientKpa: number): number {
  const left = (share * peakKpa + ambientKpa) / (peakKpa + ambientKpa);
  return Math.sqrt(left ** (-1 / USUAL_EXPONENT) - 1);
}
