/** Time and pressure limits of the capture machine. */

/** Seconds of rest stored before cranking: enough to find the zero. */
export const BEFORE_S = 2;
/** Cranking is detected at most about this long after it began, seconds. */
export const NOTICED_AFTER_S = 1;
/** Seconds stored after cranking: they show whether the hose holds pressure. */
export const HOLD_S = 2;
/** Minimum rest for a zero, seconds. */
export const ZERO_S = 0.5;
/** Interval between zero attempts while the sensor is not at rest, seconds. */
export const ZERO_AGAIN_S = 1;
/**
 * Pressure below zero for longer than this is not an intake stroke: the zero was taken while the hose held pressure.
 * Seconds.
 */
export const LOW_S = 0.7;
/** Minimum time to move the hose, seconds. */
export const MOVE_S = 3;
/** Below this the pressure counts as released, gauge kPa. Even a dead cylinder makes more. */
export const RELEASED_KPA = 20;
/**
 * A check-valve hose level for this long ends the take, provided all requested strokes were seen. Seconds. With fewer
 * strokes level pressure is no proof: on the plateau of a sound cylinder the starter may still turn.
 */
export const LEVEL_S = 8;
/** Longest take, seconds. No starter should turn longer without a rest. */
export const LONGEST_TAKE_S = 45;
/** While waiting, the analysis restarts after this many seconds, to limit its memory. */
export const FRESH_AFTER_S = 40;
/** A take with fewer strokes, not stopped by hand, was caused by screwing in the hose. It is set aside. */
export const FEWEST_STROKES = 2;
