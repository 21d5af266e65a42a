/** Simulates, reads and scores engines of the family in processes, one on each core. */
import { fork } from 'node:child_process';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { MODEL_NAMES, type ModelName } from '../../../simulator/family/models.ts';
import { createRandom, type Random } from '../../../simulator/random.ts';
import { readTrace } from '../../../worker/core/measure/read-trace.ts';
import { absolutePlusMinusKpa } from '../../../worker/core/reading-quality.ts';
import type { SensorAccuracy } from '../../../worker/core/sensor-accuracy.ts';
import { type ScoredLeak, scoreLeaks } from '../leak-score.ts';
import { cached } from './family-cache.ts';
import { type FamilyCapture, type FamilyTest, simulateFamilyTest } from './family-test.ts';
import { accuracyOf, checkedAccuracy } from './sensor-class.ts';

/** Final pressure with its absolute plus-minus, gauge kPa. */
interface AbsoluteFinal {
  readonly finalKpa: number;
  readonly plusMinusKpa: number;
}

/** A capture with its final as it reads once more is known of the sensor; `null` without a final. */
export interface ReadCapture extends Omit<FamilyCapture, 'trace'> {
  /** With the accuracy class. */
  readonly classed: AbsoluteFinal | null;
  /** With a check against a reference gauge as well. */
  readonly checked: AbsoluteFinal | null;
}

/** A simulated test as the tables need it: readings without their traces, and the leak of every dry cylinder. */
export interface ReadTest extends Omit<FamilyTest, 'captures'> {
  readonly captures: readonly ReadCapture[];
  /** Empty without the compression ratio on the card. */
  readonly leaks: readonly ScoredLeak[];
}

/** Which engines to simulate. */
export interface FamilyPlan {
  /** Engines of each model. */
  readonly count: number;
  readonly seed: number;
  /** Only sound engines. */
  readonly sound?: boolean | undefined;
}

/** The plan of all three benches, so that they share what is simulated. Constants were fitted on other seeds. */
export const USUAL_PLAN = { count: 150, seed: 200_000 } as const;

/** Work of one process: every engine `i` of the plan with `i % shares === share`. */
export interface FamilyShare extends FamilyPlan {
  readonly share: number;
  readonly shares: number;
}

/** Distance between the seeds of two models, so that each has engines and faults of its own. */
const SEEDS_PER_MODEL = 100_003;

/** Reads the capture again with what is then known of the sensor. */
function readAgain({ trace, options }: FamilyCapture, sensorAccuracy: SensorAccuracy): AbsoluteFinal | null {
  if (!trace) throw new Error('A capture of the family has its trace.');
  const reading = readTrace(trace, { ...options, sensorAccuracy });
  const plusMinusKpa = absolutePlusMinusKpa(reading);
  return reading.finalKpa === null || plusMinusKpa === null
    ? null
    : { finalKpa: reading.finalKpa, plusMinusKpa };
}

function readCapture(capture: FamilyCapture, random: Random): ReadCapture {
  const { trace: _, ...rest } = capture;
  const { sensor, truth } = capture;
  return {
    ...rest,
    classed: readAgain(capture, accuracyOf(sensor)),
    checked: readAgain(capture, checkedAccuracy(sensor, truth.finalKpa ?? 1000, random)),
  };
}

function readTest(model: ModelName, seed: number, sound: boolean | undefined): ReadTest {
  const test = simulateFamilyTest(model, seed, sound);
  const random = createRandom(seed).fork(3);
  return {
    ...test,
    captures: test.captures.map((capture) => readCapture(capture, random)),
    leaks: test.hasCard ? scoreLeaks({ ...test, cylinders: test.captures }) : [],
  };
}

/** The tests of one share, with their position in the whole plan. */
export function* testsOf({
  count,
  seed,
  sound,
  share,
  shares,
}: FamilyShare): Generator<readonly [at: number, test: ReadTest]> {
  for (const [m, model] of MODEL_NAMES.entries()) {
    for (let i = share; i < count; i += shares) {
      yield [m * count + i, readTest(model, seed + SEEDS_PER_MODEL * m + i, sound)];
    }
  }
}

/**
 * All tests of the plan, in the order of models and seeds. The number of processes does not change them. Processes rather than
 * worker threads, which do not load TypeScript on every version of Node.
 */
export function runFamily({ count, seed, sound = false }: FamilyPlan): Promise<ReadTest[]> {
  const plan = { count, seed, sound };
  return cached(plan, () => simulateFamily(plan));
}

async function simulateFamily(plan: FamilyPlan): Promise<ReadTest[]> {
  const shares = Math.min(availableParallelism(), plan.count);
  const all: ReadTest[] = [];
  const one = (share: number) =>
    new Promise<void>((resolve, reject) => {
      const child = fork(fileURLToPath(new URL('./family-process.ts', import.meta.url)), {
        serialization: 'advanced',
      });
      const order: FamilyShare = { ...plan, share, shares };
      child.send(order);
      child.on('message', (message) => {
        const [at, test] = message as [number, ReadTest];
        all[at] = test;
      });
      child.on('error', reject);
      child.on('exit', (code) => (code === 0 ? resolve() : reject(new Error(`exit code ${code}`))));
    });
  await Promise.all(Array.from({ length: shares }, (_, share) => one(share)));
  return all;
}
