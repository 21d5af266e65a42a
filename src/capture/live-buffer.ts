import type { Gap, Trace } from '../../worker/core/trace.ts';

/**
 * Ring buffer of the received samples; the oldest are dropped first. Pressures are kPa as the sensor reports them: a plot
 * subtracts `live.zeroKpa` itself.
 */
export interface LiveBuffer {
  /** Increases with every block, gap and `clear`. Unchanged version: nothing new to draw. */
  readonly version: number;
  /** Number of samples in the buffer. */
  readonly length: number;
  /** Oldest and newest time in the buffer, seconds on the source's clock; `null` when empty. */
  readonly firstS: number | null;
  readonly lastS: number | null;
  /** Newest pressure, kPa as reported; `null` when empty. */
  readonly lastKpa: number | null;
  /** Gaps that overlap the buffer, ascending. */
  readonly gaps: readonly Gap[];
  /** Copy of the samples with `fromS <= time <= toS`, and the gaps that overlap this range. */
  slice(fromS: number, toS?: number): Trace;
  /**
   * First, lowest, highest and last sample of each of `columns` equal time slots between `fromS` and `toS` (seconds),
   * ascending and without repeats. No peak is lost, however narrow the plot. A gap adds one `null` pressure at its
   * middle, which breaks the line. The two arrays have equal lengths, as uPlot expects.
   */
  decimate(fromS: number, toS: number, columns: number): Decimated;
  /**
   * Calls `draw` in the next animation frame after each change. Samples in the buffer at that time count as drawn when
   * `draw` returns. Returns a function that unsubscribes.
   */
  onFrame(draw: () => void): () => void;
}

/** Line of a plot. Equal lengths, times in seconds, ascending. */
export interface Decimated {
  readonly timeS: readonly number[];
  /** kPa as reported; `null` breaks the line. */
  readonly pressureKpa: readonly (number | null)[];
}
