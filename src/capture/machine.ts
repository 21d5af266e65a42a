/**
 * State machine of hands-free capture: `(state, event, context) -> { state, actions }`. Pure; `create-capture.ts` carries
 * the actions out. All times are sample times, so a background tab with throttled timers measures the same.
 */
import type { LiveReading, Reading } from '../../worker/core/reading.ts';
import { hasNotice, isTooShort } from '../../worker/core/reading-quality.ts';
import { STROKES_ASKED } from '../../worker/core/strokes-needed.ts';
import type { Announcement, CaptureState, PlanItem, Taking, UndoStep, Waiting, Zeroing } from './contract.ts';
import { begin, choose, retake, setCondition, undo } from './machine-commands.ts';
import {
  BEFORE_S,
  baseOf,
  beganAt,
  type CaptureAction,
  type CaptureContext,
  type CaptureEvent,
  disarm,
  drop,
  FEWEST_STROKES,
  FRESH_AFTER_S,
  finish,
  firstRise,
  goTo,
  HOLD_S,
  isRest,
  isTaking,
  itemAt,
  LEVEL_S,
  LONGEST_TAKE_S,
  LOW_S,
  MOVE_S,
  NOTICED_AFTER_S,
  RELEASED_KPA,
  type Step,
  settleAt,
  stay,
  ZERO_AGAIN_S,
  ZERO_S,
  zero,
} from './machine-moves.ts';

/** Next state and actions. An event that does not apply to the state is ignored. */
export function step(state: CaptureState, event: CaptureEvent, context: CaptureContext): Step {
  switch (event.type) {
    case 'begin':
      return begin(state, event.plan);
    case 'arm':
      return state.armed || state.phase === 'storing' || !context.canArm || !itemAt(state)
        ? stay(state)
        : zero({ ...state, armed: true, zeroKpa: null }, context);
    case 'stop':
      return isTaking(state) ? finish(state, context) : halt(state);
    case 'source-ended':
      return isTaking(state)
        ? finish({ ...state, armed: false, zeroKpa: null }, context)
        : halt({ ...state, zeroKpa: null });
    case 'go-on':
      return state.phase === 'moving' ? zero(state, context) : stay(state);
    case 'record':
      return record(state, context);
    case 'skip':
      return itemAt(state) ? goTo(state, 'skip', state.plan, state.at + 1, context) : stay(state);
    case 'retake':
      return retake(state, context);
    case 'choose':
      return choose(state, event.item, context);
    case 'condition':
      return setCondition(state, event.condition);
    case 'undo':
      return undo(state, context);
    case 'live':
      return onLive(state, event.atS, event.reading, context);
    case 'stored':
      return onStored(state, event.takeId, event.reading, context);
  }
}

/** Disarms. A take that is being stored is still stored. */
const halt = (state: CaptureState): Step =>
  state.phase === 'storing' ? stay({ ...state, armed: false }) : disarm(state);

function onLive(state: CaptureState, atS: number, live: LiveReading, context: CaptureContext): Step {
  switch (state.phase) {
    case 'zeroing':
      return onZeroing(state, atS, live, context);
    case 'waiting':
      return onWaiting(state, atS, live, context);
    case 'cranking':
      return onCranking(state, atS, live, context);
    case 'holding':
      return onHolding(state, atS, live, context);
    case 'moving': {
      const isReleased = live.pressureKpa !== null && live.pressureKpa < RELEASED_KPA;
      return isReleased && atS - state.sinceS >= MOVE_S ? zero(state, context) : stay(state);
    }
    default:
      return stay(state);
  }
}

/** Newest pressure, kPa as reported; `null` before a zero is known. */
const reportedKpa = (live: LiveReading): number | null =>
  live.pressureKpa === null || live.zeroKpa === null ? null : live.pressureKpa + live.zeroKpa;

function onZeroing(state: Zeroing, atS: number, live: LiveReading, context: CaptureContext): Step {
  const item = itemAt(state);
  if (!item || atS - state.sinceS < ZERO_S) return stay(state);
  const { zeroKpa } = live;
  if (zeroKpa === null) return hasMoved(state, context) ? restartNow(state, context) : stay(state);
  if (isRest(zeroKpa, state.zeroKpa) && beganAt(state, zeroKpa)) {
    const { fromS, fromKpa } = state;
    const rested: Waiting = {
      ...baseOf(state),
      phase: 'waiting',
      zeroKpa,
      sinceS: atS,
      fromS,
      fromKpa,
      lowS: null,
    };
    if (firstRise(rested, live)) return openTake(rested, atS, live, context);
    return { state: rested, actions: [{ do: 'announce', what: { kind: 'waiting', item } }] };
  }
  const restless = state.notAtRest ? state : { ...state, notAtRest: true };
  if (atS - state.sinceS < ZERO_AGAIN_S) return stay(restless);
  return restart({ ...restless, sinceS: atS }, atS, reportedKpa(live));
}

/**
 * Whether the pressure has changed since the analysis began. The analysis finds no zero then, even after the pressure
 * is steady.
 */
const hasMoved = (state: Zeroing, { nowS, nowKpa }: CaptureContext): boolean =>
  nowS - state.sinceS >= ZERO_AGAIN_S && nowKpa !== null && !beganAt(state, nowKpa);

const restartNow = (state: Zeroing, { nowS, nowKpa }: CaptureContext): Step =>
  restart({ ...state, sinceS: nowS, notAtRest: true }, nowS, nowKpa);

function onWaiting(state: Waiting, atS: number, live: LiveReading, context: CaptureContext): Step {
  if (firstRise(state, live)) return openTake(state, atS, live, context);
  const kpa = reportedKpa(live);
  const isLow = kpa !== null && state.zeroKpa !== null && kpa < state.zeroKpa - RELEASED_KPA;
  const lowS = isLow ? (state.lowS ?? atS) : null;
  if (lowS !== null && atS - lowS >= LOW_S) return zero({ ...state, zeroKpa: null }, context);
  const watched = lowS === state.lowS ? state : { ...state, lowS };
  if (atS - state.fromS < FRESH_AFTER_S) return stay(watched);
  return restart(watched, atS - BEFORE_S - NOTICED_AFTER_S, state.zeroKpa);
}

/** Restarts the analysis with the samples from `fromS` on. `fromKpa`: pressure at `fromS`, kPa as reported. */
const restart = (state: Zeroing | Waiting, fromS: number, fromKpa: number | null): Step => ({
  state: { ...state, fromS, fromKpa },
  actions: [{ do: 'analyse', fromS }],
});

/** Opens a take without a detected stroke, because the analysis has failed. */
function record(state: CaptureState, context: CaptureContext): Step {
  const item = itemAt(state);
  if (!item || (state.phase !== 'zeroing' && state.phase !== 'waiting')) return stay(state);
  const takeId = context.newTakeId;
  return {
    state: taking(state, takeId, context.nowS),
    actions: [
      { do: 'open-take', takeId, item, fromS: context.nowS - BEFORE_S },
      { do: 'announce', what: { kind: 'cranking', item } },
    ],
  };
}

const taking = (state: Zeroing | Waiting, takeId: string, sinceS: number): Taking => {
  const { fromS, fromKpa } = state;
  return { ...baseOf(state), phase: 'cranking', sinceS, fromS, fromKpa, takeId, settled: false };
};

function openTake(state: Waiting, atS: number, live: LiveReading, context: CaptureContext): Step {
  const item = itemAt(state);
  if (!item) return stay(state);
  const noticedS = Math.min(atS, firstRise(state, live)?.timeS ?? atS);
  const fromS = Math.max(state.fromS, noticedS - BEFORE_S - NOTICED_AFTER_S);
  const then = onCranking(taking(state, context.newTakeId, atS), atS, live, context);
  return {
    state: then.state,
    actions: [
      { do: 'open-take', takeId: context.newTakeId, item, fromS },
      { do: 'announce', what: { kind: 'cranking', item } },
      ...then.actions,
    ],
  };
}

function onCranking(state: Taking, atS: number, live: LiveReading, context: CaptureContext): Step {
  const item = itemAt(state);
  if (!item) return stay(state);
  const { state: next, actions } = announceSettled(state, item, live);
  if (live.phase === 'level' && !next.settled) {
    actions.push({ do: 'announce', what: { kind: 'still-cranking', item } });
  }
  if (live.phase === 'ended' || live.phase === 'level') {
    return { state: { ...next, phase: 'holding', sinceS: atS }, actions };
  }
  if (atS - state.sinceS < LONGEST_TAKE_S) return { state: next, actions };
  const finished = finish(next, context);
  return { state: finished.state, actions: [...actions, ...finished.actions] };
}

/** Announces `settled`, once a take. */
function announceSettled(
  state: Taking,
  item: PlanItem,
  live: LiveReading,
): { state: Taking; actions: CaptureAction[] } {
  if (!live.settled || state.settled) return { state, actions: [] };
  const pressureKpa = live.strokes.findLast((stroke) => stroke.peakKpa !== null)?.peakKpa ?? null;
  return {
    state: { ...state, settled: true },
    actions: [{ do: 'announce', what: { kind: 'settled', item, pressureKpa } }],
  };
}

function onHolding(state: Taking, atS: number, live: LiveReading, context: CaptureContext): Step {
  if (live.phase === 'cranking') return stay({ ...state, phase: 'cranking' });
  const forS = atS - state.sinceS;
  if (live.phase === 'level') {
    const item = itemAt(state);
    const announced = item ? announceSettled(state, item, live) : { state, actions: [] };
    const isLong = live.strokes.length >= STROKES_ASKED && forS >= LEVEL_S;
    if (!isLong && forS < LONGEST_TAKE_S) return announced;
    const finished = finish(announced.state, context);
    return { state: finished.state, actions: [...announced.actions, ...finished.actions] };
  }
  if (forS < HOLD_S) return stay(state);
  if (live.strokes.length >= FEWEST_STROKES) return finish(state, context);
  const again = settleAt(state, state, context);
  return { state: again.state, actions: [...drop(state), ...again.actions] };
}

function onStored(state: CaptureState, takeId: string, reading: Reading, context: CaptureContext): Step {
  const item = itemAt(state);
  if (state.phase !== 'storing' || state.takeId !== takeId || !item) return stay(state);
  const done: UndoStep = { what: 'stored', plan: state.plan, at: state.at, takeId };
  const isShort = isTooShort(reading);
  const settled = settleAt(
    state,
    {
      ...baseOf(state),
      at: isShort ? state.at : state.at + 1,
      lastTakeId: takeId,
      history: [...state.history, done],
    },
    context,
  );
  const next = itemAt(settled.state);
  // Only one announcement: a second one would interrupt the spoken figure.
  const what = isShort
    ? ({ kind: 'too-short', item, reading } as const)
    : storedAnnouncement(item, reading, next);
  return { state: settled.state, actions: [{ do: 'announce', what }, ...settled.actions] };
}

/** Announcement for a take that counts. */
function storedAnnouncement(item: PlanItem, reading: Reading, next: PlanItem | undefined): Announcement {
  if (hasNotice(reading, 'analysis-failed')) return { kind: 'not-read', item, next: next ?? null };
  return next ? { kind: 'stored', item, reading, next } : { kind: 'done', item, reading };
}
