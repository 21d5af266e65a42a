import type { EngineFacts } from '../worker/core/engine.ts';
import type { CylinderFault } from '../worker/core/judge/faults.ts';
import type { Cause } from '../worker/core/judgement.ts';
import type { Hose } from '../worker/core/trace.ts';
import { type EngineOptions, makeEngine, type SimulatedEngine, SOUND_CYLINDER } from './engine.ts';
import { type FaultKind, withFault } from './faults.ts';
import { createRandom } from './random.ts';
import { type Rig, rigFor } from './rig.ts';
import { type RotorFaultKind, withRotorFault } from './rotor-faults.ts';
import type { SensorOptions } from './transducer.ts';

/** A fault chosen by the user, by the judgement's cause. */
export interface ChosenFault {
  readonly cause: Cause;
  readonly cylinders: readonly number[];
}

const KIND: Readonly<Record<CylinderFault, FaultKind>> = {
  'ring-wear': 'worn-rings',
  'valve-leak': 'valve-leak',
  'head-gasket': 'gasket-leak',
  carbon: 'carbon',
};
const ROTOR_KIND: Readonly<Partial<Record<Cause, RotorFaultKind>>> = {
  'apex-seal': 'apex-seal',
  'side-seal': 'side-seal',
};
/** Faults for `all-low`. A weak battery is not one: its effect is explained by slow cranking. */
const ALL_LOW: readonly FaultKind[] = ['late-cam', 'closed-throttle'];

/**
 * Builds an engine from the user's engine card with the chosen faults, and a suitable rig and sensor. Sound cylinders
 * differ slightly. The same seed gives the same engine.
 */
export function engineFromFacts(
  facts: EngineFacts,
  faults: readonly ChosenFault[],
  seed: number,
  hose: Hose = 'check-valve',
): { readonly engine: SimulatedEngine; readonly rig: Rig; readonly sensor: SensorOptions } {
  const random = createRandom(seed);
  const isRotor = facts.layout.kind === 'rotors';
  const known = Object.fromEntries(
    Object.entries(facts.geometry).filter(([, value]) => value !== undefined),
  ) as Partial<EngineOptions>;
  const cycle = isRotor ? 2 : facts.cycle;
  let engine = makeEngine({ ...known, layout: facts.layout, cycle, fuel: facts.fuel });
  engine = {
    ...engine,
    cylinders: new Map(
      [...engine.cylinders].map(([n, health]) => [
        n,
        {
          ...health,
          ringMm2: (isRotor ? health.ringMm2 : SOUND_CYLINDER.ringMm2) * random.between(0.85, 1.2),
          ringDryFactor: random.between(1.3, 1.7),
        },
      ]),
    ),
  };
  let rig = rigFor(hose);
  for (const { cause, cylinders } of faults) {
    if (cause === 'rig-leak') rig = { ...rig, hoseLeakMm2: hose === 'open' ? 2 : 0.06 };
    else if (cause === 'apex-seal' || cause === 'side-seal' || isRotor)
      engine = withRotorFault(
        engine,
        ROTOR_KIND[cause] ?? 'worn-housing',
        cylinders,
        random.between(0.3, 0.7),
      );
    else if (cause === 'all-low') engine = withFault(engine, random.pick(ALL_LOW), [], 0.8);
    else engine = withFault(engine, KIND[cause], cylinders, random.between(0.3, 0.7));
  }
  return { engine, rig, sensor: { maxKpa: facts.fuel === 'diesel' ? 6000 : 2500 } };
}
