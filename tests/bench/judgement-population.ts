/**
 * Engines from the project's own simulator, with no fault, one or two, measured under field conditions: both rigs, several rates,
 * noise, weak cranking, thin air, some wet tests and some filled-in cards. The judgement's constants are fitted to these.
 */
import { crankCylinder } from '../../simulator/crank.ts';
import type { SimulatedEngine } from '../../simulator/engine.ts';
import { type FaultKind, withFault } from '../../simulator/faults.ts';
import { createRandom, type Random } from '../../simulator/random.ts';
import { rigFor } from '../../simulator/rig.ts';
import type { EngineFacts } from '../../worker/core/engine.ts';
import type { EvidenceCode } from '../../worker/core/evidence.ts';
import type { TestConditions } from '../../worker/core/judgement.ts';
import { cylindersOf, neighboursOf } from '../../worker/core/layouts.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import type { CylinderReading } from '../../worker/core/reading.ts';
import type { Condition } from '../../worker/core/trace.ts';
import type { TrueFault } from './judgement-score.ts';
import { type Day, measureCylinder } from './measure-cylinder.ts';
import { drawSoundEngine } from './random-engine.ts';

/** A test of one engine and its true faults. */
export interface SimulatedTest {
  readonly id: string;
  readonly faults: readonly TrueFault[];
  readonly readings: readonly CylinderReading[];
  readonly engine: EngineFacts;
  readonly conditions: TestConditions;
  /** Low cylinders were wet-tested, the card has the geometry and the barometer was read. */
  readonly thorough: boolean;
}

const LAYOUTS = [
  'inline-2',
  'inline-3',
  'inline-4',
  'inline-4',
  'inline-4',
  'inline-5',
  'inline-6',
  'v6',
  'flat-4',
];
/** Cause that the judgement should name for each fault. */
export const CAUSE_OF: Readonly<Record<FaultKind, string>> = {
  'worn-rings': 'ring-wear',
  'valve-leak': 'valve-leak',
  'gasket-leak': 'head-gasket',
  carbon: 'carbon',
  'late-cam': 'all-low',
  'closed-throttle': 'all-low',
  'weak-battery': 'all-low',
};
/** Evidence that states the true explanation of a low engine. */
const EXPLANATION_OF: Readonly<Partial<Record<FaultKind, EvidenceCode>>> = {
  'late-cam': 'explained-by-late-timing',
  'closed-throttle': 'explained-by-throttle',
  'weak-battery': 'explained-by-slow-cranking',
};
const CYLINDER_FAULTS: readonly FaultKind[] = ['worn-rings', 'valve-leak', 'gasket-leak', 'carbon'];
const ALL_FAULTS: readonly FaultKind[] = ['late-cam', 'closed-throttle', 'weak-battery'];
const HIGH_OR_ALL = ['carbon', 'all-low'];

/** A drawn fault; no cylinders when it is of the whole engine. */
export interface Fault {
  readonly kind: FaultKind;
  readonly cylinders: readonly number[];
}

/** No fault in 3 of 10, two in 1 of 10, else one; every cause about equally often. */
export function drawFaults(
  random: Random,
  cylinders: readonly number[],
  pairs: readonly (readonly [number, number])[],
): Fault[] {
  const one = (free: readonly number[], kinds: readonly FaultKind[]): Fault[] => {
    if (free.length === 0) return [];
    const kind = random.pick(kinds);
    if (!CYLINDER_FAULTS.includes(kind)) return [{ kind, cylinders: [] }];
    if (kind !== 'gasket-leak') return [{ kind, cylinders: [random.pick(free)] }];
    const open = pairs.filter((pair) => pair.every((cylinder) => free.includes(cylinder)));
    return open.length === 0 ? [] : [{ kind, cylinders: random.pick(open) }];
  };
  const dice = random.next();
  if (dice < 0.3) return [];
  const first = one(cylinders, random.chance(0.2) ? ALL_FAULTS : CYLINDER_FAULTS);
  if (dice < 0.9 || cylinders.length < 4) return first;
  const taken = first.flatMap((fault) => fault.cylinders);
  return [
    ...first,
    ...one(
      cylinders.filter((cylinder) => !taken.includes(cylinder)),
      ['worn-rings', 'valve-leak', 'carbon'],
    ),
  ];
}

/** A fault of the whole engine counts when it lowers the reading by at least this share. */
const NOTICEABLE = 0.07;

/** The engine with its faults. Weak batteries and half-open throttles with next to no effect are drawn again. */
export function spoiled(random: Random, sound: SimulatedEngine, faults: readonly Fault[]): SimulatedEngine {
  const crank = (engine: SimulatedEngine) =>
    crankCylinder({ engine, cylinder: 1, tolerance: 1e-4 }).truth.finalKpa!;
  return faults.reduce((engine, { kind, cylinders }) => {
    if (CYLINDER_FAULTS.includes(kind)) return withFault(engine, kind, cylinders, random.next());
    let severity = random.next();
    let spoilt = withFault(engine, kind, [], severity);
    while (severity < 1.5 && crank(spoilt) > (1 - NOTICEABLE) * crank(engine)) {
      severity += 0.25;
      spoilt = withFault(engine, kind, [], severity);
    }
    return spoilt;
  }, sound);
}

/** The engine of this seed, measured and read. The same seed gives the same test. */
export function simulateTest(seed: number): SimulatedTest {
  const random = createRandom(seed);
  const layoutName = random.pick(LAYOUTS);
  const sound = drawSoundEngine(random, layoutName, { ringMm2: [0.35, 0.75] });
  const cylinders = cylindersOf(sound.layout);
  const faults = drawFaults(random, cylinders, neighboursOf(sound.layout));
  const engine = spoiled(random, sound, faults);
  const day: Day = {
    rig: rigFor(random.chance(0.5) ? 'open' : 'check-valve'),
    rateHz: random.pick([200, 250, 500]),
    noiseKpa: random.between(0.3, 2.5),
    ambientKpa: random.between(85, 102),
    ambientKelvin: random.between(278, 308),
  };
  const geometry = {
    boreMm: engine.boreMm,
    strokeMm: engine.strokeMm,
    rodMm: engine.rodMm,
    compressionRatio: engine.compressionRatio,
    intakeClosesDegAbdc: engine.intakeClosesDegAbdc,
  };
  const carries = { geometry: random.chance(0.7), manual: random.chance(0.4), barometer: random.chance(0.8) };
  const read = (cylinder: number, condition: Condition): CylinderReading => ({
    cylinder,
    condition,
    reading: readTrace(measureCylinder(random, day, engine, cylinder, condition).trace, {
      cycle: 4,
      fuel: 'spark',
      ambientKpa: carries.barometer ? day.ambientKpa : undefined,
    }),
  });
  const wetTested = random.chance(0.6);
  const leaking = faults
    .filter(({ kind }) => !HIGH_OR_ALL.includes(CAUSE_OF[kind]))
    .flatMap((fault) => fault.cylinders);
  const readings = [
    ...cylinders.map((cylinder) => read(cylinder, 'dry')),
    ...(wetTested ? leaking.map((cylinder) => read(cylinder, 'wet')) : []),
  ];
  return {
    id: `seed ${seed}: ${layoutName}, ${day.rig.hose}${wetTested ? ', wet' : ''}${carries.geometry ? ', geometry' : ''}${carries.manual ? ', manual' : ''}`,
    faults: trueFaults(faults, cylinders),
    readings,
    engine: {
      cycle: 4,
      fuel: 'spark',
      layout: engine.layout,
      manual: carries.manual ? { minKpa: manualMinimum(random, sound) } : {},
      geometry: carries.geometry ? geometry : {},
    },
    thorough: wetTested && carries.geometry && carries.barometer,
    conditions: carries.barometer ? { ambientKpa: day.ambientKpa } : {},
  };
}

/** Two cylinders with the same single fault count as one fault: the judgement names them together. */
export function trueFaults(faults: readonly Fault[], cylinders: readonly number[]): TrueFault[] {
  const byCause = new Map<string, readonly number[]>();
  for (const fault of faults) {
    const bad = fault.cylinders.length > 0 ? fault.cylinders : cylinders;
    byCause.set(CAUSE_OF[fault.kind], [...(byCause.get(CAUSE_OF[fault.kind]) ?? []), ...bad]);
  }
  const explanation = faults.flatMap(({ kind }) => EXPLANATION_OF[kind] ?? [])[0];
  return [...byCause].map(([cause, bad]) => ({
    cause,
    cylinders: bad,
    ...(cause === 'all-low' && { explanation }),
  }));
}

/** A maker sets the minimum at 78 to 92 % of what the engine reads when new, at sea level. */
function manualMinimum(random: Random, sound: SimulatedEngine): number {
  const { finalKpa } = crankCylinder({
    engine: sound,
    cylinder: 1,
    rig: rigFor('check-valve'),
    tolerance: 1e-4,
  }).truth;
  return Math.round(finalKpa! * random.between(0.78, 0.92));
}
