/** Engines from the project's own simulator with leaks of known size, measured under field conditions. */
import type { SimulatedEngine } from '../../simulator/engine.ts';
import { withFault } from '../../simulator/faults.ts';
import { createRandom, type Random } from '../../simulator/random.ts';
import { rigFor } from '../../simulator/rig.ts';
import type { EngineFacts } from '../../worker/core/engine.ts';
import { cylindersOf, neighboursOf } from '../../worker/core/layouts.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import type { Condition } from '../../worker/core/trace.ts';
import type { LeakTest, MeasuredLeak } from './leak-score.ts';
import { type Day, measureCylinder } from './measure-cylinder.ts';
import { drawSoundEngine } from './random-engine.ts';

const LAYOUTS = ['inline-2', 'inline-3', 'inline-4', 'inline-4', 'inline-4', 'inline-5', 'inline-6'];

/** No fault in 2 of 10 engines, else worn rings, a leaking valve or gasket; two faults in 1 of 10. */
function spoilt(random: Random, sound: SimulatedEngine): { engine: SimulatedEngine; bad: number[] } {
  const cylinders = cylindersOf(sound.layout);
  const dice = random.next();
  if (dice < 0.2) return { engine: sound, bad: [] };
  const bad: number[] = [];
  let engine = sound;
  for (let i = 0; i < (dice < 0.3 && cylinders.length > 3 ? 2 : 1); i++) {
    const kind = random.pick([
      'worn-rings',
      'worn-rings',
      'valve-leak',
      'valve-leak',
      'gasket-leak',
    ] as const);
    const pair = random.pick(neighboursOf(sound.layout));
    const hit = kind === 'gasket-leak' ? [...pair] : [random.pick(cylinders)];
    engine = withFault(engine, kind, hit, random.next());
    bad.push(...hit);
  }
  return { engine, bad: [...new Set(bad)] };
}

/** The engine of this seed. The same seed gives the same test. */
export function simulateLeakTest(seed: number): LeakTest {
  const random = createRandom(seed);
  const { engine, bad } = spoilt(
    random,
    drawSoundEngine(random, random.pick(LAYOUTS), { ringMm2: [0.4, 0.8], wallHeat: [0.7, 1.3] }),
  );
  const rig = rigFor(random.chance(0.5) ? 'open' : 'check-valve');
  const day: Day = {
    rig,
    ambientKpa: random.between(85, 102),
    ambientKelvin: random.between(278, 308),
    rateHz: random.pick([200, 250, 500]),
    noiseKpa: random.between(0.3, 2.5),
  };
  const measure = (cylinder: number, condition: Condition): MeasuredLeak => {
    const { run, trace } = measureCylinder(random, day, engine, cylinder, condition);
    const { leakMm2 } = run.truth;
    const reading = readTrace(trace, { cycle: 4, fuel: 'spark', ambientKpa: day.ambientKpa });
    return { cylinder, condition, reading, trace, leakMm2 };
  };
  const facts: EngineFacts = {
    cycle: 4,
    fuel: 'spark',
    layout: engine.layout,
    manual: {},
    geometry: {
      boreMm: engine.boreMm,
      strokeMm: engine.strokeMm,
      rodMm: engine.rodMm,
      compressionRatio: engine.compressionRatio,
      intakeClosesDegAbdc: engine.intakeClosesDegAbdc,
    },
  };
  return {
    id: `seed ${seed}, ${rig.hose}`,
    engine: facts,
    conditions: { ambientKpa: day.ambientKpa },
    cylinders: [
      ...cylindersOf(engine.layout).map((cylinder) => measure(cylinder, 'dry')),
      ...bad.map((cylinder) => measure(cylinder, 'wet')),
    ],
  };
}
