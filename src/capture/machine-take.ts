/** Phases `cranking` and `holding` of the capture machine: opening, following and ending a take. */

import type { LiveReading } from '../../worker/core/reading.ts';
import { STROKES_ASKED } from '../../worker/core/strokes-needed.ts';
import {
  baseOf,
  type CaptureState,
  itemAt,
  type PlanItem,
  type Taking,
  type Waiting,
  type Zeroing,
} from './capture-state.ts';
import type { CaptureAction, CaptureContext, Step } from './machine-events.ts';
import {
  BEFORE_S,
  FEWEST_STROKES,
  HOLD_S,
  LEVEL_S,
  LONGEST_TAKE_S,
  NOTICED_AFTER_S,
} from './machine-limits.ts';
import { drop, finish, settleAt, stay } from './machine-moves.ts';
import { firstRise } from './rest-pressure.ts';

/** Opens a take without a detected stroke, because the analysis has failed. */
export function record(state: CaptureState, context: CaptureContext): Step {
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

export function openTake(state: Waiting, atS: number, live: LiveReading, context: CaptureContext): Step {
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

export function onCranking(state: Taking, atS: number, live: LiveReading, context: CaptureContext): Step {
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

export function onHolding(state: Taking, atS: number, live: LiveReading, context: CaptureContext): Step {
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
