/** Every fault that the simulated engine offers gives the verdict that it promises, on both hoses. */
import { expect, it } from 'vitest';
import { engineFromFacts } from '../../simulator/engine-from-facts.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { SIMULATED_FACTS } from '../../src/screens/compression-test/new-records.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import type { Cause } from '../../worker/core/judgement.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import type { CylinderReading } from '../../worker/core/reading.ts';
import type { Condition, Hose } from '../../worker/core/trace.ts';

const ALL = [1, 2, 3, 4];
const OFFERED: readonly (readonly [Cause, readonly number[]])[] = [
  ['ring-wear', [2]],
  ['valve-leak', [2]],
  ['head-gasket', [2, 3]],
  ['carbon', [2]],
  ['all-low', ALL],
  ['rig-leak', ALL],
];
const HOSES: readonly Hose[] = ['check-valve', 'open'];
const RUNS = 10;
const LEAST_SHARE = 0.95;

/** Dry, then wet where the judgement asks for it, as a user would proceed. */
function judged(cause: Cause, cylinders: readonly number[], hose: Hose, seed: number) {
  const { engine, rig, sensor } = engineFromFacts(SIMULATED_FACTS, [{ cause, cylinders }], seed, hose);
  const { cycle, fuel, geometry } = SIMULATED_FACTS;
  const options = { cycle, fuel, compressionRatio: geometry.compressionRatio };
  const read = (cylinder: number, condition: Condition): CylinderReading => {
    const { trace } = simulateTrace({ engine, rig, sensor, cylinder, condition, seed: 10 * seed + cylinder });
    return { cylinder, condition, reading: readTrace(trace, options) };
  };
  const rule = { code: 'percent-of-highest' } as const;
  const dry = ALL.map((cylinder) => read(cylinder, 'dry'));
  const { wetRetest } = judgeEngine(dry, SIMULATED_FACTS, rule);
  return judgeEngine([...dry, ...wetRetest.map((n) => read(n, 'wet'))], SIMULATED_FACTS, rule);
}

/** An open hose holds no pressure that could leak away: a leak there only lowers every cylinder. */
const promised = (cause: Cause, hose: Hose): Cause =>
  cause === 'rig-leak' && hose === 'open' ? 'all-low' : cause;

it('every simulated fault gives its promised verdict in ten runs each', { timeout: 60_000 }, () => {
  let kept = 0;
  const broken: string[] = [];
  for (const hose of HOSES) {
    for (const [cause, cylinders] of OFFERED) {
      for (let seed = 1; seed <= RUNS; seed++) {
        const { verdict, suspects } = judged(cause, cylinders, hose, seed);
        const [first] = suspects;
        const isKept =
          verdict !== 'sound' &&
          first?.cause === promised(cause, hose) &&
          first.cylinders.join() === cylinders.join();
        if (isKept) kept++;
        else broken.push(`${hose} ${cause} ${seed}: ${verdict} ${first?.cause} ${first?.cylinders}`);
      }
    }
  }
  const all = HOSES.length * OFFERED.length * RUNS;
  console.log(`simulated faults: ${kept} of ${all} end in the verdict that they promise`);
  expect(kept / all, broken.join('\n')).toBeGreaterThanOrEqual(LEAST_SHARE);
});
