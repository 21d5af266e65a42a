/**
 * Records of the library: engines, tests, takes and plug inspections. The store and the session files use the same
 * fields. The compiler checks `session/schema.ts` against these types.
 */
import type { EngineFacts } from '../core/engine.ts';
import type { PlugSign } from '../core/plugs.ts';
import type { RuleChoice } from '../core/rule.ts';
import type { SensorAccuracy } from '../core/sensor-accuracy.ts';
import type { Condition, Hose, Trace } from '../core/trace.ts';
import type { DisplayUnit } from '../core/units.ts';

/**
 * Origin of the data. `measured`: from a sensor. `simulated`: from the simulated source. `recording`: from an imported
 * trace file. `typed`: entered by hand. `example`: from the built-in examples. Simulated and example data are kept apart
 * from measured data.
 */
export type Origin = 'measured' | 'simulated' | 'recording' | 'typed' | 'example';

/** One engine. */
export interface EngineRecord {
  readonly id: string;
  readonly name: string;
  readonly facts: EngineFacts;
  readonly origin: Origin;
  /** ISO 8601, as all dates here. */
  readonly createdAt: string;
  /** Mileage as last entered on the card; a test or a plug inspection may hold a later figure. */
  readonly odometerKm?: number | undefined;
  readonly hours?: number | undefined;
  readonly plugInterval?: PlugInterval | undefined;
  readonly identity?: EngineIdentity | undefined;
}

/** What tells an engine from others of the same name. Texts as typed, of at most `LIMITS.nameLength`. */
export interface EngineIdentity {
  readonly make?: string | undefined;
  readonly model?: string | undefined;
  /** Registration of a vehicle, or the hull or serial number. */
  readonly registration?: string | undefined;
  readonly engineCode?: string | undefined;
  readonly customer?: string | undefined;
}

/** Service interval of the plugs as the user set it. Either may be missing. */
export interface PlugInterval {
  readonly km?: number | undefined;
  readonly hours?: number | undefined;
}

/** Conditions of a test as entered. Any figure may be missing. */
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
  /** Preparation: the user's answers about the engine, and the ticked steps. */
  readonly ticked: readonly string[];
}

/** One compression test of one engine on one day. */
export interface TestRecord {
  readonly id: string;
  readonly engineId: string;
  readonly origin: Origin;
  /** When the record was made, by the clock of the device. Never changes. */
  readonly startedAt: string;
  /** Day on which the test was taken, `YYYY-MM-DD`, as entered or as a file states it. Missing: the day of `startedAt`. */
  readonly takenOn?: string | undefined;
  /** Where `takenOn` is from: entered by hand, or stated by an imported file. */
  readonly takenFrom?: 'hand' | 'file' | undefined;
  readonly conditions: RecordedConditions;
  readonly rule: RuleChoice;
  readonly note: string;
  /** The workshop's number of the job that this test was part of, as typed. */
  readonly jobNumber?: string | undefined;
}

/**
 * Kind of sample source. `serial`: a sensor by cable; `camera`: a dial gauge on pictures; `replay`: a trace file; `typed`: figures
 * entered by hand.
 */
export type SourceKind = 'bluetooth' | 'serial' | 'camera' | 'simulated' | 'replay' | 'typed';

/** Printed scale and class of a dial gauge. */
export interface DialFacts {
  readonly unit: DisplayUnit;
  /** In `unit`, as is `division`, the smallest one. */
  readonly fullScale: number;
  readonly division: number;
  /** Accuracy class: largest deviation, percent of full scale; missing when not known. */
  readonly classPercent?: number | undefined;
}

/** A source's description of itself. Unknown fields are missing. */
export interface SourceInfo {
  readonly kind: SourceKind;
  readonly name: string;
  readonly manufacturer?: string | undefined;
  readonly model?: string | undefined;
  readonly serial?: string | undefined;
  readonly firmware?: string | undefined;
  /** Name of the byte layout for the log: "packed stream", "Environmental Sensing"... */
  readonly layout?: string | undefined;
  /** Highest pressure that the sensor can measure, kPa as reported. */
  readonly sensorMaxKpa?: number | undefined;
  /** Accuracy of the sensor or dial gauge as known when the take was made. Missing: not known. */
  readonly accuracy?: SensorAccuracy | undefined;
  /** Camera only: the dial that it reads. */
  readonly dial?: DialFacts | undefined;
}

/** One capture of one cylinder. A retake is a new take; the last finished one by `order` counts. */
export interface TakeRecord {
  readonly id: string;
  readonly testId: string;
  readonly cylinder: number;
  readonly condition: Condition;
  readonly hose?: Hose | undefined;
  readonly origin: Origin;
  readonly source: SourceInfo;
  readonly startedAt: string;
  /** Zero stated by a recording, kPa as reported; when missing, the analysis finds it from the samples. */
  readonly zeroKpa?: number | undefined;
  /** Increases from take to take on a device, even when its clock is set back. Missing in takes of older versions. */
  readonly order?: number | undefined;
  /**
   * `open`: being captured, or interrupted by a crash and not yet reviewed. `finished`: complete. `set-aside`: kept, but
   * not counted.
   */
  readonly state: 'open' | 'finished' | 'set-aside';
  /** Times on the trace's clock when the page was hidden: a browser may have slowed the radio then. */
  readonly pageHidden?: readonly { readonly startS: number; readonly endS: number }[] | undefined;
  /** Dial-gauge figures entered by hand, gauge kPa; `null`: a stroke that was not noted. Such a take has no samples. */
  readonly typed?:
    | { readonly strokesKpa: readonly (number | null)[]; readonly finalKpa?: number | undefined }
    | undefined;
}

/** A take with all its samples. */
export interface TakeWithTrace {
  readonly take: TakeRecord;
  readonly trace: Trace;
}

/** One inspection of the plug of one cylinder. */
export interface PlugRecord {
  readonly id: string;
  readonly engineId: string;
  readonly cylinder: number;
  readonly origin: Origin;
  readonly seenAt: string;
  /** Signs on the removed plug. Empty: not entered. */
  readonly signs: readonly PlugSign[];
  /** Whether a new plug was fitted. */
  readonly replaced: boolean;
  /** Electrode gap of the fitted plug, mm. */
  readonly gapMm?: number | undefined;
  readonly odometerKm?: number | undefined;
  readonly hours?: number | undefined;
  /** Whether a photo is stored under this record's id. */
  readonly hasPhoto: boolean;
}

/** A photo as the bytes of a file, reduced in size so that many can be stored. */
export interface Photo {
  readonly type: 'image/jpeg';
  readonly bytes: Uint8Array;
}

/** A plug inspection with its photo, if any. */
export interface PlugWithPhoto {
  readonly plug: PlugRecord;
  readonly photo?: Photo | undefined;
}
