/** State of the capture machine: its phases, the plan and the steps that can be undone. Plain data. */
import type { Condition } from '../../worker/core/trace.ts';

/** Phase of the capture machine. */
export type CapturePhase =
  /** Not armed. */
  | 'idle'
  /** Armed. The sensor must be at rest before the zero is taken. */
  | 'zeroing'
  /** Zero taken; waits for the first stroke. */
  | 'waiting'
  /** A take is open and its strokes are counted. */
  | 'cranking'
  /**
   * No further strokes are seen. Open hose: the take ends after `HOLD_S`. Check-valve hose at level pressure: the
   * starter may still turn, so the take ends when the pressure is released, when stopped, or by its time limits.
   */
  | 'holding'
  /** The take is being written and analysed. */
  | 'storing'
  /** The reading is out and the hose has to be moved. Continues by itself once the pressure is released. */
  | 'moving'
  /** The whole plan is measured. */
  | 'done';

/** One planned measurement: a cylinder, dry or wet. */
export interface PlanItem {
  readonly cylinder: number;
  readonly condition: Condition;
}

/** Fields of every phase. */
export interface CaptureBase {
  /** The order to measure in. */
  readonly plan: readonly PlanItem[];
  /** Index into `plan` of the current cylinder; `plan.length` when done. */
  readonly at: number;
  /** Continues from cylinder to cylinder until the plan is done, `stop` is called or the source ends. */
  readonly armed: boolean;
  /** Last zero taken on this connection, kPa as reported; `null` when there is none. */
  readonly zeroKpa: number | null;
  /** The newest finished take, which `retake` and `undo` refer to; `null` when there is none. */
  readonly lastTakeId: string | null;
  /** Steps that `undo` can revert, newest last. */
  readonly history: readonly UndoStep[];
}

interface Timed extends CaptureBase {
  /** Time of the newest sample when the phase began, on the source's clock, seconds. */
  readonly sinceS: number;
}

/** The live analysis runs. */
interface Analysed extends Timed {
  /** Start of the analysis of the current cylinder, on the source's clock, seconds. */
  readonly fromS: number;
  /** Pressure at `fromS`, kPa as reported; `null`: unknown, treated as rest. */
  readonly fromKpa: number | null;
}

export interface Zeroing extends Analysed {
  readonly phase: 'zeroing';
  /** The sensor is not at rest. The hose still holds pressure, which must be released. */
  readonly notAtRest: boolean;
}

export interface Waiting extends Analysed {
  readonly phase: 'waiting';
  /** Time since when the pressure is well below the zero, seconds; `null` while it is not. */
  readonly lowS: number | null;
}

/** A take is open. */
export interface Taking extends Analysed {
  readonly phase: 'cranking' | 'holding';
  readonly takeId: string;
  /** `settled` was announced for this take. */
  readonly settled: boolean;
}

interface Storing extends Timed {
  readonly phase: 'storing';
  readonly takeId: string;
}

/** State of the capture machine (`machine.ts`). Plain data. */
export type CaptureState =
  | (CaptureBase & { readonly phase: 'idle' | 'done' })
  | Zeroing
  | Waiting
  | Taking
  | Storing
  | (Timed & { readonly phase: 'moving' });

/** A step that can be reverted: the plan and index before it, and the id of the take that it stored. */
export interface UndoStep {
  readonly what: 'stored' | 'skip' | 'choose' | 'condition' | 'retake';
  readonly plan: readonly PlanItem[];
  readonly at: number;
  readonly takeId?: string | undefined;
}

/** Initial state. */
export const IDLE: CaptureBase & { readonly phase: 'idle' | 'done' } = {
  phase: 'idle',
  plan: [],
  at: 0,
  armed: false,
  zeroKpa: null,
  lastTakeId: null,
  history: [],
};

/** The fields that outlive a phase. */
export const baseOf = ({ plan, at, armed, zeroKpa, lastTakeId, history }: CaptureBase): CaptureBase => ({
  plan,
  at,
  armed,
  zeroKpa,
  lastTakeId,
  history,
});

/** Whether a take is open. */
export const isTaking = (state: CaptureState): state is Taking =>
  state.phase === 'cranking' || state.phase === 'holding';

/** The take being written, open or not; `null` when there is none. */
export const takeIdOf = (state: CaptureState): string | null =>
  isTaking(state) || state.phase === 'storing' ? state.takeId : null;

/** Current plan item; `undefined` once the plan is done. */
export const itemAt = (state: CaptureBase): PlanItem | undefined => state.plan[state.at];
