/** Measures the speed of the simulation relative to real time. */
import { CHECK_VALVE_RIG, OPEN_RIG, type Rig } from '../../../simulator/rig.ts';
import { simulateTrace } from '../../../simulator/simulate.ts';
import { engine } from './captures.ts';
import { atLeast, type Figure } from './figure.ts';

const LEAST_SPEED = 500;
const RUNS = 30;

/** An ordinary capture including the sensor: the fastest of several runs, because other load only slows a run. */
function speedOf(rig: Rig): number {
  let best = 0;
  for (let seed = 1; seed <= RUNS; seed++) {
    const started = performance.now();
    const { trace } = simulateTrace({ engine, cylinder: 1, rig, seed });
    best = Math.max(best, trace.timeS.at(-1)! / ((performance.now() - started) / 1000));
  }
  return best;
}

/** Speed on both hoses with its limit. */
export function simulatorSpeed(): Figure[] {
  return [
    atLeast('simulator, check-valve hose', speedOf(CHECK_VALVE_RIG), LEAST_SPEED, 'times real time'),
    atLeast('simulator, open hose', speedOf(OPEN_RIG), LEAST_SPEED, 'times real time'),
  ];
}
