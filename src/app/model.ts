/** Interface between the app and its screens. Types only. */
import type { ReadonlySignal } from '@preact/signals';
import type { Reading, ReadingOptions } from '../../worker/core/reading.ts';
import type { RuleChoice } from '../../worker/core/rule.ts';
import type { Trace } from '../../worker/core/trace.ts';
import type { ColumnMapping } from '../../worker/file/columns/column-mapping.ts';
import type { TraceFileOutcome } from '../../worker/file/csv/trace-file.ts';
import type { DialFacts } from '../../worker/file/records.ts';
import type { Capture } from '../capture/port.ts';
import type { Recovery } from '../capture/recovery.ts';
import type { Examples } from '../examples/examples.ts';
import type { TestLibrary } from '../library/library.ts';
import type { Garage } from '../platform/garage.ts';
import type { Installation } from '../platform/installation.ts';
import type { KeyValueStorage, Log } from '../platform/ports.ts';
import type { ShareLog } from '../platform/share-log.ts';
import type { Updates } from '../platform/updates.ts';
import type { SharedLibrary } from '../share/shared-library.ts';
import type { BluetoothSettings } from '../sources/bluetooth/settings.ts';
import type { CableSettings } from '../sources/serial/settings.ts';
import type { TestStore } from '../store/port.ts';
import type { LibrarySafety } from '../store/watched-store.ts';
import type { SensorAccuracies } from './sensor-accuracies.ts';
import type { UnitChoice } from './units-of-region.ts';

/** A dial that was set up for the camera. */
export interface RememberedDial extends DialFacts {
  /** From zero to full scale, radians. */
  readonly sweep: number;
  readonly follower: FollowerKind;
}

/** Second pointer of a gauge, which stays at the highest reading: none, a red one, or one of another colour. */
export type FollowerKind = 'none' | 'red' | 'other';

/** User settings of this device. */
export interface Settings extends UnitChoice {
  readonly theme: 'system' | 'light' | 'dark';
  readonly sound: boolean;
  readonly speech: boolean;
  readonly vibration: boolean;
  /** 0 to 1. */
  readonly volume: number;
  /** BCP 47 tag. */
  readonly language: string;
  /** Rule for new tests. */
  readonly rule: RuleChoice;
  /** Settings for sensors that do not describe themselves. */
  readonly sensor: BluetoothSettings & Pick<CableSettings, 'volts'>;
  /** Accuracy of each sensor and of the dial gauge, as stated by the user. */
  readonly accuracies: SensorAccuracies;
  /** The dial that the camera read last; `null` before. */
  readonly dial: RememberedDial | null;
  /** Meaning of the columns of loggers' files, one for each shape of file. */
  readonly columns: readonly ColumnMapping[];
  /** Head of the reports. */
  readonly garage: Garage;
  /** "Measured by" on the last report; may be empty. */
  readonly measuredBy: string;
}

export interface SettingsModel {
  readonly values: ReadonlySignal<Settings>;
  /** The usual units of the region of this device. */
  readonly region: UnitChoice;
  /** Changes and stores some settings. */
  change(patch: Partial<Settings>): void;
}

/** Everything a screen needs. Created once in `main.tsx` and passed to `App`. */
export interface AppModel {
  readonly store: TestStore;
  readonly safety: LibrarySafety;
  /** Recent errors. */
  readonly log: Log;
  readonly capture: Capture;
  readonly library: TestLibrary;
  readonly recovery: Recovery;
  readonly examples: Examples;
  /** Small strings kept across visits. */
  readonly storage: KeyValueStorage;
  /** Unsaved form input, kept until the tab closes. */
  readonly drafts: KeyValueStorage;
  readonly settings: SettingsModel;
  readonly updates: Updates;
  readonly installation: Installation;
  /** With what the library was shared. */
  readonly shares: ShareLog;
  readonly sharedLibrary: SharedLibrary;
  /** Parses a trace CSV in the worker, with the first mapping for files of its shape. */
  parseCsv(text: string, fileName: string, mappings?: readonly ColumnMapping[]): Promise<TraceFileOutcome>;
  /** Reads a trace in the worker. */
  readTrace(trace: Trace, options: ReadingOptions): Promise<Reading>;
  /** Plays the cue of an announcement, to test the volume. */
  testSound(): void;
  /** Downloads a file. `type`: MIME type. */
  saveFile(bytes: Blob | Uint8Array | string, name: string, type: string): void;
  /** Shows the file dialog; empty when no file was chosen. */
  pickFiles(accept: string): Promise<readonly File[]>;
}
