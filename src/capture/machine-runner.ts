import { type ReadonlySignal, signal } from '@preact/signals';
import type { Announcement } from './announcement.ts';
import { type CaptureState, IDLE } from './capture-state.ts';
import { step } from './machine.ts';
import type { CaptureAction, CaptureContext, CaptureEvent } from './machine-events.ts';
import { isOutdated } from './outdated-announcement.ts';

/** The state of the capture machine and its newest announcement. */
export interface MachineRunner {
  readonly state: ReadonlySignal<CaptureState>;
  readonly announcement: ReadonlySignal<Announcement | null>;
  /** Steps the machine. `nowS`: sample time of the event, seconds; default the newest sample. */
  dispatch(event: CaptureEvent, nowS?: number): void;
  announce(what: Announcement): void;
  /** Withdraws the announcement when it is of this kind. */
  withdraw(kind: Announcement['kind']): void;
}

/** `contextAt`: context of a step at `nowS`. `carryOut`: called with each action, in order, after the state has changed. */
export function createMachineRunner(
  contextAt: (nowS: number | undefined) => CaptureContext,
  carryOut: (action: CaptureAction) => void,
): MachineRunner {
  const state = signal<CaptureState>(IDLE);
  const announcement = signal<Announcement | null>(null);
  return {
    state,
    announcement,
    dispatch(event, nowS) {
      const context = contextAt(nowS);
      const before = state.value;
      const next = step(before, event, context);
      state.value = next.state;
      if (isOutdated(announcement.peek(), before, next.state)) announcement.value = null;
      for (const action of next.actions) carryOut(action);
    },
    announce(what) {
      announcement.value = what;
    },
    withdraw(kind) {
      if (announcement.peek()?.kind === kind) announcement.value = null;
    },
  };
}
