/**
 * Records of the library: engines, tests, takes and looks at plugs. The store keeps them as they are and a session file
 * holds the same fields, so both take them from here; the compiler checks `session-schema.ts` against them.
 */
import type { EngineFacts } from '../core/engine.ts';
import type { RuleChoice } from '../core/judgement.ts';
import type { PlugSign } from '../core/plugs.ts';
import type { Condition, Hose, Trace } from '../core/trace.ts';

/** `simulated` and `example` data are never mixed up with what was measured. */
export type Origin = 'measured' | 'simulated' | 'recording' | 'typed' | 'example';

export interface EngineRecord {
  readonly id: string;
  readonly name: string;
  readonly facts: EngineFacts;
  readonly origin: Origin;
  /** ISO 8601, as all dates here. */
  readonly createdAt: string;
  /** As last entered on the card; a test or a look at a plug may know a later one. */
  readonly odometerKm?: number | undefined;
  readonly hours?: number | undefined;
  /** How long plugs stay in, as the person set it. Either may be missing. */
  readonly plugInterval?: PlugInterval | undefined;
}

export interface PlugInterval {
  readonly km?: number | undefined;
  readonly hours?: number | undefined;
}

/** The day of a test as entered. Any figure may be missing. */
export interface RecordedConditions {
  readonly altitudeM?: number | undefined;
  readonly ambientKpa?: number | undefined;
  readonly oilTemperatureC?: number | undefined;
  readonly batteryBeforeV?: number | undefined;
  readonly batteryAfterV?: number | undefined;
  readonly throttleOpen?: boolean | undefined;
  readonly allPlugsOut?: boolean | undefined;
  readonly odometerKm?: number | undefined;
  readonly hours?: number | undefined;
  /** Preparation: what the person answered of the engine, and the steps that they ticked. */
  readonly ticked: readonly string[];
}

export interface TestRecord {
  readonly id: string;
  readonly engineId: string;
  readonly origin: Origin;
  readonly startedAt: string;
  readonly conditions: RecordedConditions;
  readonly rule: RuleChoice;
  readonly note: string;
}

export type SourceKind = 'bluetooth' | 'simulated' | 'replay' | 'typed';

/** What a source says of itself. Fields that it does not know are missing. */
export interface SourceInfo {
  readonly kind: SourceKind;
  readonly name: string;
  readonly manufacturer?: string | undefined;
  readonly model?: string | undefined;
  readonly serial?: string | undefined;
  readonly firmware?: string | undefined;
  /** How the bytes are laid out, in words for the log: "packed stream", "Environmental Sensing"... */
  readonly layout?: string | undefined;
  readonly sensorMaxKpa?: number | undefined;
}

/** One capture of one cylinder. A retake is a new take; the last finished one by `order` that is not set aside counts. */
export interface TakeRecord {
  readonly id: string;
  readonly testId: string;
  readonly cylinder: number;
  readonly condition: Condition;
  readonly hose?: Hose | undefined;
  readonly origin: Origin;
  readonly source: SourceInfo;
  readonly startedAt: string;
  /** Zero that a recording states, kPa as reported; missing where the samples are to tell. */
  readonly zeroKpa?: number | undefined;
  /** Grows from take to take on a device, also when its clock is set back. Missing in takes of older versions. */
  readonly order?: number | undefined;
  /** `open`: being captured, or cut off by a crash and waiting to be looked at. */
  readonly state: 'open' | 'finished' | 'set-aside';
  /** When the page was hidden meanwhile, on the trace's clock: a browser may have slowed the radio then. */
  readonly pageHidden?: readonly { readonly startS: number; readonly endS: number }[] | undefined;
  /** For a dial gauge: what was typed, gauge kPa. Such a take has no samples. */
  readonly typed?:
    | { readonly strokesKpa: readonly number[]; readonly finalKpa?: number | undefined }
    | undefined;
}

/** A take with all its samples. */
export interface TakeWithTrace {
  readonly take: TakeRecord;
  readonly trace: Trace;
}

/** One look at the plug of one cylinder. */
export interface PlugRecord {
  readonly id: string;
  readonly engineId: string;
  readonly cylinder: number;
  readonly origin: Origin;
  readonly seenAt: string;
  /** What it looked like when it came out. Empty: not entered. */
  readonly signs: readonly PlugSign[];
  /** A new one went in. */
  readonly replaced: boolean;
  /** Of the plug that went in, mm. */
  readonly gapMm?: number | undefined;
  readonly odometerKm?: number | undefined;
  readonly hours?: number | undefined;
  /** A picture is kept under this record's id. */
  readonly hasPhoto: boolean;
}

/** A picture as a file's bytes, small enough to keep many. */
export interface Photo {
  readonly type: 'image/jpeg';
  readonly bytes: Uint8Array;
}

/** A look at a plug with its picture, where there is one. */
export interface PlugWithPhoto {
  readonly plug: PlugRecord;
  readonly photo?: Photo | undefined;
}
