/** How much faster than real time an engine is simulated. */
import { CHECK_VALVE_RIG, OPEN_RIG, type Rig } from '../../../simulator/rig.ts';
import { simulateTrace } from '../../../simulator/simulate.ts';
import { engine } from './captures.ts';
import { atLeast, type Figure } from './figure.ts';

const LEAST_SPEED = 500;
const RUNS = 30;

/** An ordinary capture, sensor and all: the fastest of several runs, for other work on the machine only ever slows one. */
function speedOf(rig: Rig): number {
  let best = 0;
  for (let seed = 1; seed <= RUNS; seed++) {
    const started = performance.now();
    const { trace } = simulateTrace({ engine, cylinder: 1, rig, seed });
    best = Math.max(best, trace.timeS.at(-1)! / ((performance.now() - started) / 1000));
  }
  return best;
}

export function simulatorSpeed(): Figure[] {
  return [
    atLeast('simulator, check-valve hose', speedOf(CHECK_VALVE_RIG), LEAST_SPEED, 'times real time'),
    atLeast('simulator, open hose', speedOf(OPEN_RIG), LEAST_SPEED, 'times real time'),
  ];
}
