import type { Notice } from './notice.ts';
import type { SensorAccuracy } from './sensor-accuracy.ts';
import type { Condition, Cycle, Hose } from './trace.ts';

/** One compression stroke of one cylinder that passed top dead centre. */
export interface Stroke {
  /** Counts from 1, lost strokes included. */
  readonly number: number;
  /** Time of the peak (open hose) or of the end of the step (check valve), seconds; NaN for typed figures. */
  readonly timeS: number;
  /** Open hose: peak of the fitted pulse. Check valve: level held after the step. Gauge kPa; `null` when lost. */
  readonly peakKpa: number | null;
  /** Half width of the 95 % interval of `peakKpa`, kPa. `null` when lost. */
  readonly peakPlusMinusKpa: number | null;
  /**
   * The cylinder was only part-filled because the engine had stopped part-way up this stroke. Not evidence of the
   * cylinder's seal.
   */
  readonly partial: boolean;
  /** The stroke happened, but its peak fell into a gap. */
  readonly lost: boolean;
}

/** One face of a rotor: every third stroke. Gauge kPa. */
export interface RotorFace {
  /** 1 to 3, in the order of the strokes. Which face of the rotor it is, the trace does not tell. */
  readonly face: number;
  /** Numbers of its strokes, lost ones included. */
  readonly strokes: readonly number[];
  /** Mean of its settled peaks; `null` when all were lost. */
  readonly peakKpa: number | null;
  /** Half width of the 95 % interval; `null` when `peakKpa` is, or with one stroke only. */
  readonly plusMinusKpa: number | null;
}

/** Speed of the build-up to final. `slow` points to worn rings. `undetermined`: too few strokes. */
export type BuildUp = 'normal' | 'slow' | 'undetermined';

/** Least-squares fit of peak(k) = finalKpa - riseKpa * exp(-(k - 1) / timeConstantStrokes), k the stroke number. */
export interface BuildUpFit {
  readonly finalKpa: number;
  readonly riseKpa: number;
  readonly timeConstantStrokes: number;
  readonly timeConstantPlusMinus: number;
}

/** Figures of the pulses of an open hose, medians over its strokes. */
export interface PulseFigures {
  /** Time for which a pulse exceeds half its height, s: shows how much the crank slows against the compression. */
  readonly halfWidthS: number;
  /** Speed of the crank while the pressure is above half the peak, rpm. */
  readonly topRpm: number;
  /**
   * Pressure in the intake stroke less that in the exhaust stroke, kPa: well below 0 with the throttle shut. `null` for a
   * two-stroke or with too few samples.
   */
  readonly intakeKpa: number | null;
  /** Intake closing by the pressure's first rise, degrees after bottom dead centre. `null` when the pulses do not show it. */
  readonly closesDegAbdc: number | null;
}

/**
 * Result of analysing one trace: one cylinder in one condition. Derived from the samples and never stored as truth.
 */
export interface Reading {
  readonly hose: Hose | 'undetermined';
  readonly strokes: readonly Stroke[];
  /**
   * Check valve: highest held level. Open hose: mean of the peaks from the settled stroke on, three at least where there
   * are as many, without strokes that coast after the starter was released. Gauge kPa; `null` without a known peak.
   */
  readonly finalKpa: number | null;
  /**
   * Half width of the 95 % interval between cylinders measured with the same sensor, kPa; `null` when strokes are too few
   * for a final value.
   */
  readonly finalPlusMinusKpa: number | null;
  /**
   * Half width of the 95 % interval of the sensor's own error at `finalKpa`, kPa. It is common to all cylinders, so
   * `finalPlusMinusKpa` does not contain it. Missing: the sensor's class is not known, or there is no final value.
   */
  readonly sensorPlusMinusKpa?: number | undefined;
  /** First full stroke over final; `null` when either is not known. */
  readonly firstStrokeRatio: number | null;
  /**
   * Number of the first stroke from which every later one that counts stays within 2 % or 7 kPa of final. `null` when no
   * later stroke confirms it, on an open hose two.
   */
  readonly strokesToStabilise: number | null;
  readonly buildUp: BuildUp;
  /** `null` with fewer than four full strokes or no clear rise. */
  readonly buildUpFit: BuildUpFit | null;
  /**
   * Open hose: mean speed over all compressions seen, including an unfinished last one, rpm. Check valve: speed at the
   * middle of the test by the steps seen. `null` when too few are seen or their times do not fix it.
   */
  readonly crankingRpm: number | null;
  /** Loss of speed from the fastest strokes to the last, 0 to 1; `null` with fewer than three periods. */
  readonly crankingSag: number | null;
  /**
   * Check valve: share of the held level lost per second after cranking, 0 to 1. `null` for an open hose or too short
   * a hold.
   */
  readonly holdLossPerS: number | null;
  /**
   * Zero subtracted from every pressure, kPa as reported: the offset of a gauge sensor, about ambient for an absolute
   * one. `null` when not known.
   */
  readonly zeroKpa: number | null;
  /** `absolute` sensors read about 100 kPa at rest. */
  readonly sensor: 'gauge' | 'absolute' | 'undetermined';
  /** Median rate; `null` with fewer than two samples. */
  readonly sampleRateHz: number | null;
  /** Noise of the resting sensor, kPa rms; `null` when not known. */
  readonly noiseKpa: number | null;
  readonly notices: readonly Notice[];
  /** Open hose only: what its pulses show of crank, throttle and valve timing; missing with too few strokes or samples. */
  readonly pulse?: PulseFigures | undefined;
  /** Rotary engine only: the three faces of the rotor, in the order in which they passed the plug hole. */
  readonly faces?: readonly RotorFace[] | undefined;
}

/**
 * Facts known before the analysis. All but `cycle` may be missing. A given value takes precedence over a detected
 * one.
 */
export interface ReadingOptions {
  readonly cycle: Cycle;
  /** The trace is of a rotor: its three faces compress in turn, one each shaft turn. `cycle` is then ignored. */
  readonly isRotor?: boolean | undefined;
  readonly fuel?: 'spark' | 'diesel' | undefined;
  readonly hose?: Hose | undefined;
  /** The samples are readings of a dial's needle, which a camera takes less often than a sensor its own. */
  readonly isDial?: boolean | undefined;
  /** Barometric pressure at the engine, kPa. */
  readonly ambientKpa?: number | undefined;
  /** Zero measured elsewhere, kPa as reported. */
  readonly zeroKpa?: number | undefined;
  readonly compressionRatio?: number | undefined;
  /** Upper end of the sensor's range, kPa as reported. */
  readonly sensorMaxKpa?: number | undefined;
  /** Missing: not known. */
  readonly sensorAccuracy?: SensorAccuracy | undefined;
}

/** The reading of a trace in which nothing could be measured. */
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

/** Reading while the engine is still cranking. Pressures in gauge kPa. */
export interface LiveReading {
  /**
   * `level`: no further step for a while, but the hose holds its pressure. Either the starter has stopped, or further
   * strokes add nothing; the trace cannot show which.
   */
  readonly phase: 'rest' | 'cranking' | 'level' | 'ended';
  /** Newest sample less the zero, gauge kPa; `null` while either is not known. */
  readonly pressureKpa: number | null;
  readonly strokes: readonly Stroke[];
  /**
   * True after six strokes, once the newest three have settled by the definition of `strokesToStabilise`. Also true
   * on a level pressure that further strokes would not raise beyond the settling tolerance.
   */
  readonly settled: boolean;
  readonly crankingRpm: number | null;
  readonly zeroKpa: number | null;
}

/** A reading with its cylinder and condition. */
export interface CylinderReading {
  readonly cylinder: number;
  readonly condition: Condition;
  readonly reading: Reading;
}
