/** Input and output of the capture machine. */

import type { LiveReading, Reading } from '../../worker/core/reading.ts';
import type { Condition } from '../../worker/core/trace.ts';
import type { Announcement } from './announcement.ts';
import type { CaptureState, PlanItem } from './capture-state.ts';

/** Input of the machine. */
export type CaptureEvent =
  /** A new plan; replaces the state. */
  | { readonly type: 'begin'; readonly plan: readonly PlanItem[] }
  /** User commands, as the methods of `Capture`. `record`: `recordAnyway`. */
  | { readonly type: 'arm' | 'stop' | 'skip' | 'retake' | 'undo' | 'go-on' | 'record' }
  /** Go to this item. */
  | { readonly type: 'choose'; readonly item: PlanItem }
  /** Dry or wet for the current item. */
  | { readonly type: 'condition'; readonly condition: Condition }
  /** Live reading of the samples up to `atS`, seconds. */
  | { readonly type: 'live'; readonly atS: number; readonly reading: LiveReading }
  /** The take is analysed, and written or still being retried from memory. */
  | { readonly type: 'stored'; readonly takeId: string; readonly reading: Reading }
  /** The source ended or timed out: no more samples will come. */
  | { readonly type: 'source-ended' };

/** Facts outside the state that a step needs. */
export interface CaptureContext {
  /** Time of the newest sample, seconds. */
  readonly nowS: number;
  /** Its pressure, kPa as reported; `null` when there is none or the source is a recording. */
  readonly nowKpa: number | null;
  /** Id for a take opened by this step. */
  readonly newTakeId: string;
  /** Connected, this tab holds the capture lock and the engine has the current cylinder. */
  readonly canArm: boolean;
}

/** Output of the machine, for `action-runner.ts` to carry out. */
export type CaptureAction =
  /** Restarts the live analysis with the samples from `fromS` (seconds) on. */
  | { readonly do: 'analyse'; readonly fromS: number }
  /** Opens a take with the samples from `fromS` (seconds) on. */
  | { readonly do: 'open-take'; readonly takeId: string; readonly item: PlanItem; readonly fromS: number }
  /** Changes cylinder and condition of the open take. */
  | { readonly do: 'relabel-take'; readonly takeId: string; readonly item: PlanItem }
  /** Writes and analyses the take, then dispatches `stored`. */
  | { readonly do: 'finish-take'; readonly takeId: string }
  /** Applies to open and stored takes. The samples are kept. */
  | { readonly do: 'set-aside'; readonly takeId: string }
  /** Moves the hose of the simulated engine. */
  | { readonly do: 'move-hose'; readonly item: PlanItem }
  /** Publishes an announcement. */
  | { readonly do: 'announce'; readonly what: Announcement };

/** Next state and the actions to carry out, in order. */
export interface Step {
  readonly state: CaptureState;
  readonly actions: readonly CaptureAction[];
}
