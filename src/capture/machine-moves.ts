/** Basic transitions of the capture machine. */

import {
  baseOf,
  type CaptureBase,
  type CaptureState,
  isTaking,
  itemAt,
  type PlanItem,
  type Taking,
  type UndoStep,
} from './capture-state.ts';
import type { CaptureAction, CaptureContext, Step } from './machine-events.ts';
import { isRest } from './rest-pressure.ts';

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
