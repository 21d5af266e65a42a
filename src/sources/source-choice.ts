import type { EngineFacts } from '../../worker/core/engine.ts';
import type { Cause } from '../../worker/core/judgement.ts';
import type { Condition, Hose } from '../../worker/core/trace.ts';
import type { RecordedTrace } from '../../worker/file/csv/trace-file.ts';

/** What the person chose to measure with. */
export type SourceChoice =
  | {
      readonly kind: 'bluetooth';
      /** The sensor of before, without choosing anew; where there was none, the chooser comes up. */
      readonly again?: boolean;
    }
  | {
      readonly kind: 'simulated';
      readonly facts: EngineFacts;
      /** What is wrong with the engine; empty for a healthy one. */
      readonly faults: readonly { readonly cause: Cause; readonly cylinders: readonly number[] }[];
      /** Same seed, same engine. */
      readonly seed: number;
      /** @default 'check-valve' */
      readonly hose?: Hose;
    }
  /** With a test begun it arms by itself: a recording waits for nobody. */
  | {
      readonly kind: 'replay';
      readonly recording: RecordedTrace;
      /** Times real time; `Infinity` for at once. */
      readonly speed: number;
    };

/** The simulated engine's starter key and hose. Capture moves the hose itself as the plan goes on. */
export interface SimulatorControls {
  /** Turns the starter until it is let go, or for as long as a starter should. Lets the pressure off a little after. */
  crank(): void;
  letGo(): void;
  moveHose(to: { readonly cylinder: number; readonly condition: Condition }): void;
}
