/** What a sensor said, as it said it: the raw evidence that every other number is computed from. */

/** `wet`: after a spoonful of oil went down the plug hole. */
export type Condition = 'dry' | 'wet';

/** `check-valve`: the hose holds each stroke's pressure, the trace climbs in steps. `open`: one pulse a stroke. */
export type Hose = 'check-valve' | 'open';

/** Strokes of the working cycle: one compression stroke every second crank turn (4) or every turn (2). */
export type Cycle = 2 | 4;

/** Why samples are missing. Nothing is ever filled in between `startS` and `endS`. */
export type GapReason = 'packets-lost' | 'link-lost' | 'silence' | 'clock-reset';

export interface Gap {
  /** Time of the last sample before the gap, in seconds on the trace's own clock. */
  readonly startS: number;
  /** Time of the first sample after it. */
  readonly endS: number;
  readonly reason: GapReason;
}

/** A run of samples as they arrive. Both arrays have the same length; times ascend, also across blocks. */
export interface SampleBlock {
  /** Seconds since the source was opened (or as recorded). */
  readonly timeS: Float64Array;
  /** Kilopascals as the sensor reports them: not zeroed, gauge or absolute. Finite numbers only. */
  readonly pressureKpa: Float64Array;
}

/** One whole capture: one cylinder, one condition. */
export interface Trace extends SampleBlock {
  /** Known gaps, ascending. Silence that the samples show is found by the analysis, listed here or not. */
  readonly gaps: readonly Gap[];
}
