/**
 * State machine of hands-free capture: `(state, event, context) -> { state, actions }`. Pure; `action-runner.ts` carries
 * the actions out. All times are sample times, so a background tab with throttled timers measures the same.
 */

import type { LiveReading, Reading } from '../../worker/core/reading.ts';
import { hasNotice, isTooShort } from '../../worker/core/reading-quality.ts';
import type { Announcement } from './announcement.ts';
import {
  baseOf,
  type CaptureState,
  isTaking,
  itemAt,
  type PlanItem,
  type UndoStep,
} from './capture-state.ts';
import { begin, choose, retake, setCondition, undo } from './machine-commands.ts';
import type { CaptureContext, CaptureEvent, Step } from './machine-events.ts';
import { MOVE_S, RELEASED_KPA } from './machine-limits.ts';
import { disarm, finish, goTo, settleAt, stay, zero } from './machine-moves.ts';
import { onCranking, onHolding, record } from './machine-take.ts';
import { onWaiting, onZeroing } from './machine-zero.ts';

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
