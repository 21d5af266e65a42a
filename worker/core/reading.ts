import type { Notice } from './notice.ts';
import type { Condition, Cycle, Hose } from './trace.ts';

/** One compression stroke of one cylinder that passed top dead centre. */
export interface Stroke {
  /** 1 for the first stroke, counting lost ones. */
  readonly number: number;
  /** Time of the top of the pulse (open hose) or of the end of the step (check valve), seconds; NaN when typed in. */
  readonly timeS: number;
  /** Open hose: top of the fitted pulse. Check valve: level held after the step. Gauge kPa. `null`: lost. */
  readonly peakKpa: number | null;
  /** Half width of the 95 % interval of `peakKpa`, kPa. `null` when lost. */
  readonly peakPlusMinusKpa: number | null;
  /** The engine had stopped part-way up this stroke: it says nothing about the cylinder's seal. */
  readonly partial: boolean;
  /** The top fell into a gap: the stroke happened, its peak is not known. */
  readonly lost: boolean;
}

export type BuildUp = 'normal' | 'slow' | 'undetermined';

/** Least-squares fit of peak(k) = finalKpa - riseKpa * exp(-(k - 1) / timeConstantStrokes), k the stroke number. */
export interface BuildUpFit {
  readonly finalKpa: number;
  readonly riseKpa: number;
  readonly timeConstantStrokes: number;
  readonly timeConstantPlusMinus: number;
}

/** Everything that one trace says of one cylinder in one condition. Derived, so never stored as truth. */
export interface Reading {
  readonly hose: Hose | 'undetermined';
  readonly strokes: readonly Stroke[];
  /** Check valve: highest held level. Open: mean of the peaks from the settled stroke on. Gauge kPa. */
  readonly finalKpa: number | null;
  /** Half width of the 95 % interval, kPa. */
  readonly finalPlusMinusKpa: number | null;
  /** First full stroke over final. */
  readonly firstStrokeRatio: number | null;
  /** Number of the first stroke from which every later one stays within 2 % or 7 kPa of final. */
  readonly strokesToStabilise: number | null;
  readonly buildUp: BuildUp;
  readonly buildUpFit: BuildUpFit | null;
  /** Mean over all compressions seen, first to last, an unfinished last one included; turns a minute. */
  readonly crankingRpm: number | null;
  /** How much slower the last strokes turned than the fastest, 0 to 1. */
  readonly crankingSag: number | null;
  /** Check valve: share of the held level lost per second after cranking, 0 to 1. */
  readonly holdLossPerS: number | null;
  /** Taken off every pressure here, kPa: what the sensor reads at rest, its offset (gauge) or about ambient (absolute). */
  readonly zeroKpa: number | null;
  /** `absolute` sensors read about 100 kPa at rest. */
  readonly sensor: 'gauge' | 'absolute' | 'undetermined';
  /** Median samples a second. */
  readonly sampleRateHz: number | null;
  /** Noise of the quiet sensor, kPa rms. */
  readonly noiseKpa: number | null;
  readonly notices: readonly Notice[];
}

/** What is known before the samples are looked at. All but `cycle` may be missing; what is told wins over what is found. */
export interface ReadingOptions {
  readonly cycle: Cycle;
  readonly fuel?: 'spark' | 'diesel' | undefined;
  readonly hose?: Hose | undefined;
  /** Barometric pressure at the engine, kPa. */
  readonly ambientKpa?: number | undefined;
  /** Zero known from elsewhere, kPa. */
  readonly zeroKpa?: number | undefined;
  readonly compressionRatio?: number | undefined;
  /** Highest pressure the sensor can tell, kPa as reported. */
  readonly sensorMaxKpa?: number | undefined;
}

/** What is known of a trace in which nothing could be read. */
export const NOTHING_READ: Reading = {
  hose: 'undetermined',
  strokes: [],
  finalKpa: null,
  finalPlusMinusKpa: null,
  firstStrokeRatio: null,
  strokesToStabilise: null,
  buildUp: 'undetermined',
  buildUpFit: null,
  crankingRpm: null,
  crankingSag: null,
  holdLossPerS: null,
  zeroKpa: null,
  sensor: 'undetermined',
  sampleRateHz: null,
  noiseKpa: null,
  notices: [],
};

/** What can be said while the engine is still cranking. */
export interface LiveReading {
  /**
   * `level`: no further step for a while, but the hose still holds its pressure. The starter may have stopped, or turn on
   * with strokes that add nothing: the trace cannot tell.
   */
  readonly phase: 'rest' | 'cranking' | 'level' | 'ended';
  /** Newest sample with the zero taken off, gauge kPa. */
  readonly pressureKpa: number | null;
  readonly strokes: readonly Stroke[];
  /**
   * True once six strokes are in and the newest three have settled by the definition of `strokesToStabilise`; and on a level
   * pressure, once strokes to come would not raise it beyond the tolerance of a settled one.
   */
  readonly settled: boolean;
  readonly crankingRpm: number | null;
  readonly zeroKpa: number | null;
}

/** A reading and whose it is. */
export interface CylinderReading {
  readonly cylinder: number;
  readonly condition: Condition;
  readonly reading: Reading;
}
