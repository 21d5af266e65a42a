import type { EngineFacts } from '../../worker/core/engine.ts';
import type { Cause } from '../../worker/core/judgement.ts';
import type { Condition, Hose } from '../../worker/core/trace.ts';
import type { RecordedTrace } from '../../worker/file/csv/trace-file.ts';
import type { DialFacts } from '../../worker/file/records.ts';
import type { DialCamera } from './camera/dial-camera.ts';

/** The source that the user chose. */
export type SourceChoice =
  | {
      readonly kind: 'bluetooth';
      /** Reconnect to the previous sensor without the chooser. Without a previous one the chooser opens. */
      readonly again?: boolean;
    }
  | {
      readonly kind: 'serial';
      /** Open the previous device without the chooser. Without a previous one the chooser opens. */
      readonly again?: boolean;
    }
  | {
      readonly kind: 'simulated';
      readonly facts: EngineFacts;
      /** Faults of the engine; empty for a healthy one. */
      readonly faults: readonly { readonly cause: Cause; readonly cylinders: readonly number[] }[];
      /** Same seed, same engine. */
      readonly seed: number;
      /** @default 'check-valve' */
      readonly hose?: Hose;
    }
  | {
      readonly kind: 'camera';
      /** With its scale fitted. */
      readonly camera: DialCamera;
      readonly dial: DialFacts;
    }
  /** Arms by itself once a test is begun, since a recording cannot wait. */
  | {
      readonly kind: 'replay';
      readonly recording: RecordedTrace;
      /** Multiple of real time; `Infinity` for at once. */
      readonly speed: number;
    };

/** Starter key and hose of the simulated engine. Capture moves the hose along the plan. */
export interface SimulatorControls {
  /** Turns the starter until `releaseStarter` or the time limit. The pressure is released a little later. */
  crank(): void;
  /** Releases the starter key. */
  releaseStarter(): void;
  moveHose(to: { readonly cylinder: number; readonly condition: Condition }): void;
}
