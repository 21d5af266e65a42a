/** Events, actions, limits and basic transitions of the capture machine. */
import type { LiveReading, Reading, Stroke } from '../../worker/core/reading.ts';
import type { Condition } from '../../worker/core/trace.ts';
import type {
  Announcement,
  CaptureBase,
  CaptureState,
  PlanItem,
  Taking,
  UndoStep,
  Waiting,
  Zeroing,
} from './contract.ts';

/** Seconds of rest stored before cranking: enough to find the zero. */
export const BEFORE_S = 2;
/** Cranking is detected at most about this long after it began, seconds. */
export const NOTICED_AFTER_S = 1;
/** Seconds stored after cranking: they show whether the hose holds pressure. */
export const HOLD_S = 2;
/** Minimum rest for a zero, seconds. */
export const ZERO_S = 0.5;
/** Interval between zero attempts while the sensor is not at rest, seconds. */
export const ZERO_AGAIN_S = 1;
/**
 * Pressure below zero for longer than this is not an intake stroke: the zero was taken while the hose held pressure.
 * Seconds.
 */
export const LOW_S = 0.7;
/** Minimum time to move the hose, seconds. */
export const MOVE_S = 3;
/** Below this the pressure counts as released, gauge kPa. Even a dead cylinder makes more. */
export const RELEASED_KPA = 20;
/**
 * Maximum difference between the pressure at the start of the analysis and the zero, kPa. Above it the pressure was
 * falling.
 */
const STEADY_KPA = 5;
/** A sensor at rest reads near 0 (gauge), or up to 115 kPa (absolute). Above that the hose holds pressure. */
const REST_BAND_KPA = { low: -60, high: 115 };

/** Whether `zeroKpa` is a rest pressure, given the previous zero of this connection (`null`: none). Both kPa as reported. */
export const isRest = (zeroKpa: number, beforeKpa: number | null): boolean =>
  beforeKpa === null
    ? zeroKpa > REST_BAND_KPA.low && zeroKpa < REST_BAND_KPA.high
    : Math.abs(zeroKpa - beforeKpa) < RELEASED_KPA;

/** Whether the pressure at the start of the analysis was about `reportedKpa` (kPa as reported). True when it is unknown. */
export const beganAt = (state: Zeroing, reportedKpa: number): boolean =>
  state.fromKpa === null || Math.abs(state.fromKpa - reportedKpa) < STEADY_KPA;

/**
 * First stroke whose peak is above the pressure at the start of the analysis; `undefined` while there is none. A pressure
 * release looks like the end of a stroke, so a fall alone does not count.
 */
export function firstRise(state: Waiting | Zeroing, live: LiveReading): Stroke | undefined {
  if (live.phase === 'rest') return undefined;
  const beganKpa = Math.max(0, (state.fromKpa ?? 0) - (live.zeroKpa ?? 0));
  return live.strokes.find(({ peakKpa }) => peakKpa === null || peakKpa > beganKpa + STEADY_KPA);
}

/**
 * A check-valve hose level for this long ends the take, provided all requested strokes were seen. Seconds. With fewer
 * strokes level pressure is no proof: on the plateau of a sound cylinder the starter may still turn.
 */
export const LEVEL_S = 8;
/** Longest take, seconds. No starter should turn longer without a rest. */
export const LONGEST_TAKE_S = 45;
/** While waiting, the analysis restarts after this many seconds, to limit its memory. */
export const FRESH_AFTER_S = 40;
/** A take with fewer strokes, not stopped by hand, was caused by screwing in the hose. It is set aside. */
export const FEWEST_STROKES = 2;

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

/** Output of the machine, for `create-capture.ts` to carry out. */
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

/** No change. */
export const stay = (state: CaptureState): Step => ({ state, actions: [] });

/** Sets an open take aside. */
export const drop = (state: CaptureState): readonly CaptureAction[] =>
  isTaking(state) ? [{ do: 'set-aside', takeId: state.takeId }] : [];

/** Enters `zeroing` at the current item and restarts the analysis. */
export function zero(base: CaptureBase, { nowS, nowKpa }: CaptureContext): Step {
  const item = itemAt(base);
  if (!item) return disarm(base);
  return {
    state: {
      ...baseOf(base),
      phase: 'zeroing',
      notAtRest: nowKpa !== null && !isRest(nowKpa, base.zeroKpa),
      sinceS: nowS,
      fromS: nowS,
      fromKpa: nowKpa,
    },
    actions: [
      { do: 'move-hose', item },
      { do: 'analyse', fromS: nowS },
    ],
  };
}

/** Disarms at the current item. */
export const disarm = (base: CaptureBase): Step =>
  stay({ ...baseOf(base), armed: false, phase: itemAt(base) ? 'idle' : 'done' });

/** Ends the open take: enters `storing`. */
export const finish = (state: Taking, context: CaptureContext): Step => ({
  state: { ...baseOf(state), phase: 'storing', takeId: state.takeId, sinceS: context.nowS },
  actions: [{ do: 'finish-take', takeId: state.takeId }],
});

/**
 * Armed: waits until the hose has been moved and its pressure released. Not armed: only the position changes. `from`: the
 * state before, `base`: position and history after.
 */
export function settleAt(from: CaptureState, base: CaptureBase, context: CaptureContext): Step {
  const item = itemAt(base);
  if (!base.armed || !item) return disarm(base);
  const hadPressure = isTaking(from) || from.phase === 'storing' || from.phase === 'moving';
  if (!hadPressure) return zero(base, context);
  return {
    state: { ...baseOf(base), phase: 'moving', sinceS: context.nowS },
    actions: [{ do: 'move-hose', item }],
  };
}

/** Goes to index `at` of `plan` and adds the previous position to the history. Ignored while storing. */
export function goTo(
  state: CaptureState,
  what: UndoStep['what'],
  plan: readonly PlanItem[],
  at: number,
  context: CaptureContext,
): Step {
  if (state.phase === 'storing') return stay(state);
  const history = [...state.history, { what, plan: state.plan, at: state.at }];
  const settled = settleAt(state, { ...baseOf(state), plan, at, history }, context);
  return { state: settled.state, actions: [...drop(state), ...settled.actions] };
}
