/** Tests of engines of the simulator's family of models, with all that the benches compare. */
import { crankCylinder } from '../../../simulator/crank.ts';
import type { SimulatedEngine } from '../../../simulator/engine.ts';
import { drawFamilyEngine, type FamilyEngine } from '../../../simulator/family/draw.ts';
import type { ModelName } from '../../../simulator/family/models.ts';
import { createRandom, type Random } from '../../../simulator/random.ts';
import { rigFor } from '../../../simulator/rig.ts';
import { simulateTrace } from '../../../simulator/simulate.ts';
import type { Sensor } from '../../../simulator/transducer.ts';
import type { CrankTruth } from '../../../simulator/truth.ts';
import type { EngineFacts } from '../../../worker/core/engine.ts';
import type { TestConditions } from '../../../worker/core/judgement.ts';
import { cylindersOf, neighboursOf } from '../../../worker/core/layouts.ts';
import { readTrace } from '../../../worker/core/measure/read-trace.ts';
import type { ReadingOptions } from '../../../worker/core/reading.ts';
import type { Condition, Hose } from '../../../worker/core/trace.ts';
import { CAUSE_OF, drawFaults, type Fault, spoiled, trueFaults } from '../judgement-population.ts';
import type { TrueFault } from '../judgement-score.ts';
import type { MeasuredLeak } from '../leak-score.ts';
import { shownAt } from './sensor-class.ts';

/** One capture with its truth. */
export interface FamilyCapture extends MeasuredLeak {
  readonly truth: CrankTruth;
  /** Final pressure as the sensor's scale shows it, gauge kPa: true final with the errors of gain and curvature. */
  readonly shownKpa: number | null;
  readonly sensor: Sensor;
  /** With which it was read. The class of the sensor was not known. */
  readonly options: ReadingOptions;
}

/** One test of one engine of the family. */
export interface FamilyTest {
  readonly id: string;
  readonly model: ModelName;
  readonly faults: readonly TrueFault[];
  readonly engine: EngineFacts;
  readonly conditions: TestConditions;
  readonly captures: readonly FamilyCapture[];
  readonly hose: Hose;
  /** The card has the compression ratio. */
  readonly hasCard: boolean;
  /** The intake closes later than 66 degrees after bottom dead centre. */
  readonly closesLate: boolean;
  /** A good mechanic could name cause and cylinders from this test (see `isCallable`); always true for a sound engine. */
  readonly callable: boolean;
}

/** Smallest drops that a mechanic would call a fault from the figures, as shares; a whole engine needs more. */
const SEEN = { leak: 0.1, carbon: 0.07, allLow: 0.25 } as const;
const AIR_KPA = { least: 88, most: 102 } as const;
const LATE_DEG = 66;

function withoutAbsurd(faults: readonly Fault[], { cycle, fuel }: SimulatedEngine): Fault[] {
  return faults.filter(
    ({ kind }) =>
      (fuel === 'spark' || kind !== 'closed-throttle') &&
      (cycle === 4 || kind === 'worn-rings' || kind === 'carbon'),
  );
}

const finalKpa = (engine: SimulatedEngine, cylinder: number): number =>
  crankCylinder({ engine, cylinder, rig: rigFor('check-valve'), tolerance: 1e-4 }).truth.finalKpa ?? 1;

/**
 * Whether the figures suffice: every fault changes its cylinders by more than sound ones differ, a leak was wet-tested, and
 * a low engine or a single cylinder has a minimum to be compared with.
 */
function isCallable(
  faults: readonly Fault[],
  sound: SimulatedEngine,
  engine: SimulatedEngine,
  wetTested: boolean,
  hasManual: boolean,
): boolean {
  return faults.every(({ kind, cylinders }) => {
    const some = cylinders.length > 0 ? cylinders : [1];
    const cause = CAUSE_OF[kind];
    const change = some.map((cylinder) => finalKpa(engine, cylinder) / finalKpa(sound, cylinder) - 1);
    if (cause === 'all-low') return hasManual && change.every((by) => by < -SEEN.allLow);
    if (cylindersOf(sound.layout).length === 1 && !hasManual) return false;
    if (cause === 'carbon') return change.every((by) => by > SEEN.carbon);
    return wetTested && change.every((by) => by < -SEEN.leak);
  });
}

/** A maker's minimum is 0.67 to 0.88 of its standard (58 pairs of published service data); rounded to 10 kPa. */
const manualMinimum = (random: Random, sound: SimulatedEngine): number =>
  10 * Math.round(0.1 * finalKpa(sound, 1) * random.between(0.67, 0.88));

/** What the card shows: nothing, the ratio with bore and stroke, or all. */
function cardGeometry(random: Random, engine: SimulatedEngine, closes: number): EngineFacts['geometry'] {
  const dice = random.next();
  if (dice < 0.3) return {};
  const { boreMm, strokeMm, compressionRatio, rodMm } = engine;
  const usual = { boreMm, strokeMm, compressionRatio };
  return dice < 0.65 ? usual : { ...usual, rodMm, intakeClosesDegAbdc: closes };
}

/** The engine of this model and seed, without its faults if `isSound`. The same arguments give the same test. */
export function simulateFamilyTest(model: ModelName, seed: number, isSound = false): FamilyTest {
  const random = createRandom(seed).fork(9);
  const hose: Hose = random.chance(0.5) ? 'open' : 'check-valve';
  const drawn = drawFamilyEngine(model, seed, hose);
  const sound = drawn.engine;
  const { cycle, fuel, layout } = sound;
  const numbers = cylindersOf(layout);
  const drawnFaults = withoutAbsurd(drawFaults(random, numbers, neighboursOf(layout)), sound);
  const faults = isSound ? [] : drawnFaults;
  const engine = spoiled(random, sound, faults);
  const geometry = cardGeometry(random, sound, drawn.cardClosesDegAbdc);
  const hasManual = random.chance(0.4);
  const ambientKpa = random.between(AIR_KPA.least, AIR_KPA.most);
  const hasBarometer = random.chance(0.8);
  const conditions = hasBarometer ? { ambientKpa } : {};
  const wetTested = fuel === 'spark' && random.chance(0.6);
  const capture = (cylinder: number, condition: Condition): FamilyCapture =>
    captured(random, { ...drawn, engine }, cylinder, condition, ambientKpa, hasBarometer);
  const leaking = faults.filter(({ kind }) => CAUSE_OF[kind] !== 'carbon').flatMap((one) => one.cylinders);
  return {
    id: `${model} ${seed}: ${numbers.length} cylinders, ${hose}`,
    model,
    faults: trueFaults(faults, numbers),
    engine: {
      cycle,
      fuel,
      layout,
      manual: hasManual ? { minKpa: manualMinimum(random, sound) } : {},
      geometry,
    },
    conditions,
    captures: [
      ...numbers.map((cylinder) => capture(cylinder, 'dry')),
      ...(wetTested ? leaking.map((cylinder) => capture(cylinder, 'wet')) : []),
    ],
    hose,
    hasCard: geometry.compressionRatio !== undefined,
    closesLate: cycle === 4 && sound.intakeClosesDegAbdc > LATE_DEG,
    callable: isCallable(faults, sound, engine, wetTested, hasManual),
  };
}

function captured(
  random: Random,
  { engine, rig, sensor, releaseDeg }: FamilyEngine,
  cylinder: number,
  condition: Condition,
  ambientKpa: number,
  hasBarometer: boolean,
): FamilyCapture {
  const cycleDeg = engine.cycle === 4 ? 720 : 360;
  const {
    trace,
    truth,
    sensor: used,
  } = simulateTrace({
    engine,
    cylinder,
    condition,
    rig,
    sensor,
    startDeg: random.between(0, cycleDeg),
    strokes: 7 + random.index(4),
    releaseDeg: releaseDeg ?? random.between(30, cycleDeg - 70),
    ambientKpa,
    ambientKelvin: random.between(275, 308),
    seed: random.index(2 ** 31),
    tolerance: 1e-4,
  });
  const options: ReadingOptions = {
    cycle: engine.cycle,
    fuel: engine.fuel,
    ambientKpa: hasBarometer ? ambientKpa : undefined,
  };
  const reading = readTrace(trace, options);
  const { finalKpa: trueKpa, leakMm2 } = truth;
  const shownKpa = trueKpa === null ? null : shownAt(used, trueKpa);
  return { cylinder, condition, reading, trace, leakMm2, truth, shownKpa, sensor: used, options };
}
