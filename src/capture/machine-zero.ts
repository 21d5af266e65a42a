/** Phases `zeroing` and `waiting` of the capture machine: the zero, and the wait for the first stroke. */

import type { LiveReading } from '../../worker/core/reading.ts';
import { baseOf, itemAt, type Waiting, type Zeroing } from './capture-state.ts';
import type { CaptureContext, Step } from './machine-events.ts';
import {
  BEFORE_S,
  FRESH_AFTER_S,
  LOW_S,
  NOTICED_AFTER_S,
  RELEASED_KPA,
  ZERO_AGAIN_S,
  ZERO_S,
} from './machine-limits.ts';
import { stay, zero } from './machine-moves.ts';
import { openTake } from './machine-take.ts';
import { beganAt, firstRise, isRest, reportedKpa } from './rest-pressure.ts';

export function onZeroing(state: Zeroing, atS: number, live: LiveReading, context: CaptureContext): Step {
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

export function onWaiting(state: Waiting, atS: number, live: LiveReading, context: CaptureContext): Step {
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
