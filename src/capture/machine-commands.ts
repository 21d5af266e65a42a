/** User commands of the capture machine: begin, retake, choose, dry or wet, undo. */
import type { Condition } from '../../worker/core/trace.ts';
import type { CaptureState, PlanItem, UndoStep } from './capture-state.ts';
import { baseOf, IDLE, isTaking, itemAt } from './capture-state.ts';
import type { CaptureAction, CaptureContext, Step } from './machine-events.ts';
import { drop, goTo, settleAt, stay, zero } from './machine-moves.ts';

/** A new plan, not armed. An open take is finished. */
export function begin(state: CaptureState, plan: readonly PlanItem[]): Step {
  const actions: CaptureAction[] = [];
  // The open take belongs to the previous test and is finished there. Its `stored` event is ignored by the new state.
  if (isTaking(state)) actions.push({ do: 'finish-take', takeId: state.takeId });
  return { state: { ...IDLE, plan, phase: plan.length > 0 ? 'idle' : 'done' }, actions };
}

/** Measures the current take's cylinder, or the one stored last, again. Arms if possible. */
export function retake(state: CaptureState, context: CaptureContext): Step {
  if (isTaking(state)) return goTo(state, 'retake', state.plan, state.at, context);
  const last = state.history.findLast((done) => done.what === 'stored');
  const item = last?.plan[last.at];
  if (!item || state.phase === 'storing') return stay(state);
  const found = state.plan.findIndex((other) => same(other, item));
  const plan = found < 0 ? insert(state.plan, state.at, item) : state.plan;
  const there = goTo(state, 'retake', plan, found < 0 ? state.at : found, context);
  if (there.state.armed || !context.canArm) return there;
  const zeroed = zero({ ...there.state, armed: true }, context);
  return { state: zeroed.state, actions: [...there.actions, ...zeroed.actions] };
}

/** Goes to `item`; inserts it before the current one when it is not in the plan. */
export function choose(state: CaptureState, item: PlanItem, context: CaptureContext): Step {
  const found = state.plan.findIndex((other) => same(other, item));
  if (found === state.at) return stay(state);
  if (found >= 0) return goTo(state, 'choose', state.plan, found, context);
  return goTo(state, 'choose', insert(state.plan, state.at, item), state.at, context);
}

/** Sets dry or wet for the current item; an open take is relabelled. */
export function setCondition(state: CaptureState, condition: Condition): Step {
  const item = itemAt(state);
  if (!item || item.condition === condition || state.phase === 'storing') return stay(state);
  const changed = { cylinder: item.cylinder, condition };
  const done: UndoStep = { what: 'condition', plan: state.plan, at: state.at };
  return {
    state: {
      ...state,
      plan: state.plan.with(state.at, changed),
      history: [...state.history, done],
    },
    actions: isTaking(state)
      ? [{ do: 'relabel-take', takeId: state.takeId, item: changed }]
      : [{ do: 'move-hose', item: changed }],
  };
}

/** Sets an open take aside, else reverts the newest step of the history. */
export function undo(state: CaptureState, context: CaptureContext): Step {
  if (state.phase === 'storing') return stay(state);
  // An open take is the newest step.
  if (isTaking(state)) {
    const settled = settleAt(state, state, context);
    return { state: settled.state, actions: [...drop(state), ...settled.actions] };
  }
  const last = state.history.at(-1);
  if (!last) return stay(state);
  const history = state.history.slice(0, -1);
  const lastTakeId = history.findLast((done) => done.takeId !== undefined)?.takeId ?? null;
  const back = settleAt(
    state,
    { ...baseOf(state), plan: last.plan, at: last.at, lastTakeId, history },
    context,
  );
  const aside: CaptureAction[] = last.takeId ? [{ do: 'set-aside', takeId: last.takeId }] : [];
  return { state: back.state, actions: [...aside, ...back.actions] };
}

const same = (a: PlanItem, b: PlanItem): boolean => a.cylinder === b.cylinder && a.condition === b.condition;

const insert = (plan: readonly PlanItem[], at: number, item: PlanItem): readonly PlanItem[] =>
  plan.toSpliced(at, 0, item);
