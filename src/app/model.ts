/** Everything behind the screens, as they see it. Types only. */
import type { ReadonlySignal } from '@preact/signals';
import type { RuleChoice } from '../../worker/core/judgement.ts';
import type { DisplayUnit } from '../../worker/core/units.ts';
import type { TraceFileOutcome } from '../../worker/file/csv/trace-file.ts';
import type { Capture, Recovery } from '../capture/contract.ts';
import type { Examples } from '../examples/examples.ts';
import type { TestLibrary } from '../library/library.ts';
import type { KeyValueStorage, Log } from '../platform/ports.ts';
import type { Updates } from '../platform/updates.ts';
import type { BluetoothSettings } from '../sources/bluetooth/settings.ts';
import type { TestStore } from '../store/port.ts';
import type { LibrarySafety } from '../store/watched-store.ts';

export interface Settings {
  readonly unit: DisplayUnit;
  readonly theme: 'system' | 'light' | 'dark';
  readonly sound: boolean;
  readonly speech: boolean;
  readonly vibration: boolean;
  /** 0 to 1. */
  readonly volume: number;
  /** BCP 47. */
  readonly language: string;
  /** Rule for new tests. */
  readonly rule: RuleChoice;
  /** What the person told of a sensor that is not known by itself. */
  readonly sensor: BluetoothSettings;
}

export interface SettingsModel {
  readonly values: ReadonlySignal<Settings>;
  change(patch: Partial<Settings>): void;
}

/** Everything a screen needs, made once in `main.tsx` and handed to `App` as the prop `model`. */
export interface AppModel {
  readonly store: TestStore;
  readonly safety: LibrarySafety;
  /** The last errors. */
  readonly log: Log;
  readonly capture: Capture;
  readonly library: TestLibrary;
  readonly recovery: Recovery;
  readonly examples: Examples;
  /** What is being typed, kept as long as the tab. */
  readonly drafts: KeyValueStorage;
  readonly settings: SettingsModel;
  readonly updates: Updates;
  /** Reads a trace CSV in the worker. */
  parseCsv(text: string, fileName: string): Promise<TraceFileOutcome>;
  /** Plays the sound of an announcement, for the volume test. */
  testSound(): void;
  /** Offers a file to keep. */
  saveFile(bytes: Blob | Uint8Array | string, name: string, type: string): void;
  /** Asks for files; empty when none were chosen. */
  pickFiles(accept: string): Promise<readonly File[]>;
}
