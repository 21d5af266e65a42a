/** Samples as the sensor reported them: the raw evidence from which every other figure is computed. */

/** `wet`: after a spoonful of oil was put into the cylinder. */
export type Condition = 'dry' | 'wet';

/**
 * `check-valve`: the hose holds the pressure of each stroke, so the trace rises in steps. `open`: one pulse per
 * stroke.
 */
export type Hose = 'check-valve' | 'open';

/** Strokes per working cycle: a compression every second crank turn (4) or every turn (2). */
export type Cycle = 2 | 4;

/** Every reason of a gap. */
export const GAP_REASONS = [
  'packets-lost',
  'link-lost',
  'silence',
  'clock-reset',
  'needle-moving',
  'needle-hidden',
  'glare',
  'dial-lost',
] as const;

/**
 * Reason for missing samples. A gap is never filled in.
 *
 * - `packets-lost`: packets of the link are missing.
 * - `link-lost`: the connection broke.
 * - `silence`: no sample arrived for longer than usual.
 * - `clock-reset`: the sensor's clock restarted.
 * - `needle-moving`: on the pictures of a dial, the needle was smeared over too wide an angle.
 * - `needle-hidden`: something covered the needle, or looked like it.
 * - `glare`: light on the glass covered the needle.
 * - `dial-lost`: the dial was not where it was.
 */
export type GapReason = (typeof GAP_REASONS)[number];

/** A stretch of a trace without samples. */
export interface Gap {
  /** Time of the last sample before the gap, in seconds on the trace's own clock. */
  readonly startS: number;
  /** Time of the first sample after it. */
  readonly endS: number;
  readonly reason: GapReason;
}

/** A run of samples. Both arrays have the same length; times ascend, also across blocks. */
export interface SampleBlock {
  /** Seconds since the source was opened, or as recorded. */
  readonly timeS: Float64Array;
  /** Kilopascals as the sensor reports them: not zeroed, gauge or absolute. Finite. */
  readonly pressureKpa: Float64Array;
}

/** One whole capture: one cylinder in one condition. */
export interface Trace extends SampleBlock {
  /** Known gaps, ascending. The analysis also detects silences that are not listed here. */
  readonly gaps: readonly Gap[];
}
