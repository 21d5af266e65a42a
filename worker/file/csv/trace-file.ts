import type { EngineGeometry, Fuel, ManualLimits } from '../../core/engine.ts';
import type { Condition, Cycle, Hose, Trace } from '../../core/trace.ts';

/** What a trace CSV says of itself in its comment lines; see README.md in this folder for the keys. */
export interface TraceHeader {
  readonly cylinder?: number | undefined;
  readonly condition?: Condition | undefined;
  readonly hose?: Hose | undefined;
  readonly cycle?: Cycle | undefined;
  readonly fuel?: Fuel | undefined;
  readonly engine?: string | undefined;
  /** ISO 8601 */
  readonly recorded?: string | undefined;
  readonly zeroKpa?: number | undefined;
  readonly ambientKpa?: number | undefined;
  /** Highest pressure that the sensor can tell, kPa as reported. */
  readonly sensorMaxKpa?: number | undefined;
  readonly geometry: EngineGeometry;
  readonly manual: ManualLimits;
}

/** One pressure column of a file. */
export interface RecordedTrace {
  readonly fileName: string;
  readonly header: TraceHeader;
  readonly trace: Trace;
}

/** Why a file could not be read, as a fact; each shell words the advice. `line` counts from 1. */
export interface FileProblem {
  readonly code:
    | 'empty'
    | 'not-text'
    | 'no-columns'
    | 'no-time'
    | 'no-pressure'
    | 'no-rows'
    | 'time-not-ascending'
    | 'bad-number'
    | 'bad-field'
    | 'too-large'
    | 'newer-version'
    | 'not-ours';
  readonly line?: number | undefined;
  /** Path of the field in a JSON file, such as `manual.minKpa`. */
  readonly field?: string | undefined;
  /** One plain English sentence that says what was found and what was expected. */
  readonly detail: string;
}

export type TraceFileOutcome =
  | { readonly ok: true; readonly traces: readonly RecordedTrace[]; readonly remarks: readonly string[] }
  | { readonly ok: false; readonly problem: FileProblem };

export const refused = (
  code: FileProblem['code'],
  detail: string,
  line?: number,
): { readonly ok: false; readonly problem: FileProblem } => ({
  ok: false,
  problem: { code, detail, ...(line !== undefined && { line }) },
});
