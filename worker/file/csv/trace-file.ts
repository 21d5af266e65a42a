import type { EngineGeometry, Fuel, ManualLimits } from '../../core/engine.ts';
import type { SensorAccuracy } from '../../core/sensor-accuracy.ts';
import type { Condition, Cycle, Hose, Trace } from '../../core/trace.ts';

/**
 * Content of a trace CSV's comment lines; the keys are in `worker/file/README.md`. Pressures in kPa, fields are missing
 * when the file does not state them.
 */
export interface TraceHeader {
  readonly cylinder?: number | undefined;
  readonly condition?: Condition | undefined;
  readonly hose?: Hose | undefined;
  readonly cycle?: Cycle | undefined;
  readonly fuel?: Fuel | undefined;
  readonly engine?: string | undefined;
  /** ISO 8601 */
  readonly recorded?: string | undefined;
  /** Sensor reading at zero pressure, kPa as reported. */
  readonly zeroKpa?: number | undefined;
  /** Barometric pressure, absolute. */
  readonly ambientKpa?: number | undefined;
  /** Highest pressure that the sensor can measure, kPa as reported. */
  readonly sensorMaxKpa?: number | undefined;
  /** Class and check of the sensor. Missing: not known. */
  readonly sensorAccuracy?: SensorAccuracy | undefined;
  readonly geometry: EngineGeometry;
  readonly manual: ManualLimits;
}

/** Trace of one pressure column of a file. */
export interface RecordedTrace {
  readonly fileName: string;
  readonly header: TraceHeader;
  readonly trace: Trace;
}

/** Reason why a file could not be read. The caller words the advice to the user. */
export interface FileProblem {
  readonly code: FileProblemCode;
  /** Line number, from 1. */
  readonly line?: number | undefined;
  /** Start of that line, cut short. */
  readonly excerpt?: string | undefined;
  /** Path of the field in a JSON file, such as `manual.minKpa`. */
  readonly field?: string | undefined;
  /** One plain English sentence with the finding and the expectation. */
  readonly detail: string;
}

type FileProblemCode =
  /** The file has no content; choose another. */
  | 'empty'
  /** Binary content; export the recording as CSV. */
  | 'not-text'
  /** No header row; add one such as `time_s,pressure_kpa`. */
  | 'no-columns'
  /** No time column; name one `time_s` or `time_ms`, or state `sample_rate_hz`. */
  | 'no-time'
  /** No pressure column, or one without a unit; name it `pressure_kpa`, `pressure_psi` or the like. */
  | 'no-pressure'
  /** No samples below the header row. */
  | 'no-rows'
  /** The time stops or jumps back; split the recordings into separate files. */
  | 'time-not-ascending'
  /** A cell is not a number or is implausible; correct the line or the unit. */
  | 'bad-number'
  /** A field of a JSON file is unknown, invalid or refers to a missing entry; correct it. */
  | 'bad-field'
  /** The file exceeds the size limit; split it. */
  | 'too-large'
  /** A newer app wrote the file; update this one. */
  | 'newer-version'
  /** Not a file of the expected kind, or truncated; choose another or copy it again. */
  | 'not-ours';

/** Result of parsing a trace file. */
export type TraceFileOutcome =
  | {
      readonly ok: true;
      readonly traces: readonly RecordedTrace[];
      /** One English sentence for each correction or dropped value. */
      readonly remarks: readonly string[];
      /** Whether a column mapping was used. */
      readonly isMapped?: boolean | undefined;
    }
  | { readonly ok: false; readonly problem: FileProblem };

/** A failed outcome; `line` counts from 1. */
export const refused = (
  code: FileProblem['code'],
  detail: string,
  line?: number,
): { readonly ok: false; readonly problem: FileProblem } => ({
  ok: false,
  problem: { code, detail, ...(line !== undefined && { line }) },
});
