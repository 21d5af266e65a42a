import { effect } from '@preact/signals';
import type { Clock } from '../platform/ports.ts';
import type { Capture } from './contract.ts';
import { isTaking } from './machine-moves.ts';

/** How long a person takes to let go of the key once told to. */
const REACTION_MS = 600;

/** At a simulated engine somebody turns the key: lets go when told that the reading has settled, or that the take is over. */
export function attendSimulator(capture: Pick<Capture, 'state' | 'live' | 'simulator'>, clock: Clock): void {
  let isLettingGo = false;
  effect(() => {
    const simulator = capture.simulator.value;
    const { phase } = capture.state.value;
    if (!simulator || isLettingGo) return;
    const isOver = phase === 'storing' || phase === 'moving';
    if (!isOver && !(isTaking(phase) && capture.live.value?.settled)) return;
    isLettingGo = true;
    clock.after(REACTION_MS, () => {
      isLettingGo = false;
      simulator.letGo();
    });
  });
}
