/** What the capture machine is made of: its events, its actions, and the few moves that everything else is built from. */
import type { LiveReading, Reading, Stroke } from '../../worker/core/reading.ts';
import type { Condition } from '../../worker/core/trace.ts';
import type { Announcement, CapturePhase, CaptureState, PlanItem, UndoStep } from './contract.ts';

/** Seconds kept before cranking: enough rest to find the zero in. */
export const BEFORE_S = 2;
/** Cranking is noticed up to about this long after it began. */
export const NOTICED_AFTER_S = 1;
/** Seconds kept after cranking has ended: shows whether the hose holds. */
export const HOLD_S = 2;
/** Rest that the zero needs at least. */
export const ZERO_S = 0.5;
/** A sensor that does not rest is looked at anew so often. */
export const ZERO_AGAIN_S = 1;
/** Below its zero for so long, a sensor does not see an engine draw breath: pressure was held, and is now let off. */
export const LOW_S = 0.7;
/** Nobody moves a hose faster than this. */
export const MOVE_S = 3;
/** Below this the hose counts as let off, kPa; a dead cylinder still makes more. */
export const LET_OFF_KPA = 20;
/** What the analysis began with may be this far from the zero that it found, kPa; more, and the pressure was falling. */
const STEADY_KPA = 5;
/** A sensor at rest reads near 0 (gauge) or the air, up to 115 kPa (absolute); more is pressure held in the hose. */
const REST_BAND_KPA = { low: -60, high: 115 };

/** Whether a sensor that reads this rests, given the zero it had before on this connection. */
export const isRest = (zeroKpa: number, beforeKpa: number | null): boolean =>
  beforeKpa === null
    ? zeroKpa > REST_BAND_KPA.low && zeroKpa < REST_BAND_KPA.high
    : Math.abs(zeroKpa - beforeKpa) < LET_OFF_KPA;

/** Whether the analysis began with this pressure (the zero that was found in it, say) and not with one that has since gone. */
export const beganAt = (state: CaptureState, reportedKpa: number): boolean =>
  state.fromKpa === null || Math.abs(state.fromKpa - reportedKpa) < STEADY_KPA;

/**
 * The first stroke that rose above what the analysis began with; `undefined` while no engine turns. A hose that is let
 * off falls, which looks like the end of a stroke that nobody saw the beginning of.
 */
export function firstRise(state: CaptureState, live: LiveReading): Stroke | undefined {
  if (live.phase === 'rest') return undefined;
  const beganKpa = Math.max(0, (state.fromKpa ?? 0) - (live.zeroKpa ?? 0));
  return live.strokes.find(({ peakKpa }) => peakKpa === null || peakKpa > beganKpa + STEADY_KPA);
}

/**
 * A check-valve hose that stays level for so long, with all strokes asked for seen, ends the take. With fewer the level alone
 * never does: on the plateau of a sound cylinder a starter may still turn.
 */
export const LEVEL_S = 8;
/** No starter should turn longer without a rest. Ends a take by itself. */
export const LONGEST_TAKE_S = 45;
/** After waiting so long the analysis starts afresh, to keep it small. */
export const FRESH_AFTER_S = 40;
/** Fewer strokes than this, unless stopped by hand, were the hose being screwed in. */
export const FEWEST_STROKES = 2;

export type CaptureEvent =
  | { readonly type: 'begin'; readonly plan: readonly PlanItem[] }
  | { readonly type: 'arm' | 'stop' | 'skip' | 'retake' | 'undo' | 'go-on' | 'record' }
  | { readonly type: 'choose'; readonly item: PlanItem }
  | { readonly type: 'condition'; readonly condition: Condition }
  /** The analyst's answer to the samples up to `atS`. */
  | { readonly type: 'live'; readonly atS: number; readonly reading: LiveReading }
  /** The take is written (or kept in memory, being tried again) and read. */
  | { readonly type: 'stored'; readonly takeId: string; readonly reading: Reading }
  /** The source ended, or has been silent for too long: no more samples will come. */
  | { readonly type: 'source-ended' };

export interface CaptureContext {
  /** Time of the newest sample, seconds. */
  readonly nowS: number;
  /** What it says, kPa as reported; `null` when there is none. */
  readonly nowKpa: number | null;
  /** Id for a take, should one begin now. */
  readonly newTakeId: string;
  /** Connected, a test begun, no other tab capturing. */
  readonly canArm: boolean;
}

export type CaptureAction =
  /** Starts the live analysis with what was received from `fromS` on; ends the one before. */
  | { readonly do: 'analyse'; readonly fromS: number }
  | { readonly do: 'open-take'; readonly takeId: string; readonly item: PlanItem; readonly fromS: number }
  | { readonly do: 'relabel-take'; readonly takeId: string; readonly item: PlanItem }
  /** Writes, reads, and answers with `stored`. */
  | { readonly do: 'finish-take'; readonly takeId: string }
  /** For the open take as for a stored one. Its samples stay. */
  | { readonly do: 'set-aside'; readonly takeId: string }
  | { readonly do: 'move-hose'; readonly item: PlanItem }
  | { readonly do: 'announce'; readonly what: Announcement };

export interface Step {
  readonly state: CaptureState;
  readonly actions: readonly CaptureAction[];
}

export const IDLE: CaptureState = {
  phase: 'idle',
  plan: [],
  at: 0,
  armed: false,
  sinceS: 0,
  fromS: 0,
  fromKpa: null,
  zeroKpa: null,
  lowS: null,
  notAtRest: false,
  takeId: null,
  lastTakeId: null,
  settled: false,
  history: [],
};

export const isTaking = (phase: CapturePhase): boolean => phase === 'cranking' || phase === 'holding';

/** The cylinder at hand; `undefined` once the plan is done. */
export const itemAt = (state: CaptureState): PlanItem | undefined => state.plan[state.at];

export const stay = (state: CaptureState): Step => ({ state, actions: [] });

/** Sets the open take aside, if there is one. */
export function drop(state: CaptureState): Step {
  if (!isTaking(state.phase) || state.takeId === null) return stay(state);
  return {
    state: { ...state, takeId: null, settled: false },
    actions: [{ do: 'set-aside', takeId: state.takeId }],
  };
}

/** Armed at the cylinder at hand: the sensor must read rest first. */
export function zero(state: CaptureState, context: CaptureContext): Step {
  const item = itemAt(state);
  if (!item) return disarm(state);
  return {
    state: {
      ...state,
      phase: 'zeroing',
      notAtRest: context.nowKpa !== null && !isRest(context.nowKpa, state.zeroKpa),
      lowS: null,
      takeId: null,
      settled: false,
      sinceS: context.nowS,
      fromS: context.nowS,
      fromKpa: context.nowKpa,
    },
    actions: [
      { do: 'move-hose', item },
      { do: 'analyse', fromS: context.nowS },
    ],
  };
}

/** Stands still at the cylinder at hand. */
export function disarm(state: CaptureState): Step {
  return stay({ ...state, armed: false, phase: itemAt(state) ? 'idle' : 'done', takeId: null });
}

export function finish(state: CaptureState, context: CaptureContext): Step {
  if (state.takeId === null) return stay(state);
  return {
    state: { ...state, phase: 'storing', sinceS: context.nowS },
    actions: [{ do: 'finish-take', takeId: state.takeId }],
  };
}

/** Armed: waits until the hose has been moved and let off. Not armed: only the place changes. */
export function settleAt(state: CaptureState, context: CaptureContext): Step {
  const item = itemAt(state);
  if (!state.armed || !item) return disarm(state);
  const hadPressure = isTaking(state.phase) || state.phase === 'storing' || state.phase === 'moving';
  if (!hadPressure) return zero(state, context);
  return {
    state: { ...state, phase: 'moving', takeId: null, settled: false, sinceS: context.nowS },
    actions: [{ do: 'move-hose', item }],
  };
}

/** Goes to a place in the plan and remembers where it came from. */
export function goTo(
  state: CaptureState,
  what: UndoStep['what'],
  plan: readonly PlanItem[],
  at: number,
  context: CaptureContext,
): Step {
  if (state.phase === 'storing') return stay(state);
  const history = [...state.history, { what, plan: state.plan, at: state.at }];
  const dropped = drop(state);
  const settled = settleAt({ ...dropped.state, plan, at, history }, context);
  return { state: settled.state, actions: [...dropped.actions, ...settled.actions] };
}
