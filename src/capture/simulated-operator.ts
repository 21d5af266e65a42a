import { effect } from '@preact/signals';
import type { Clock } from '../platform/ports.ts';
import { isTaking } from './capture-state.ts';
import type { Capture } from './port.ts';

/** Delay before the simulated operator releases the starter key, milliseconds. */
const REACTION_MS = 600;

/** Releases the starter key of the simulated engine when the reading has settled or the take has ended. */
export function operateSimulator(capture: Pick<Capture, 'state' | 'live' | 'simulator'>, clock: Clock): void {
  let isReleasing = false;
  effect(() => {
    const simulator = capture.simulator.value;
    const state = capture.state.value;
    if (!simulator || isReleasing) return;
    const isOver = state.phase === 'storing' || state.phase === 'moving';
    if (!isOver && !(isTaking(state) && capture.live.value?.settled)) return;
    isReleasing = true;
    clock.after(REACTION_MS, () => {
      isReleasing = false;
      simulator.releaseStarter();
    });
  });
}
