import type { SimulatedEngine } from '../../simulator/engine.ts';
import { createRandom, type Random } from '../../simulator/random.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { cylindersOf } from '../../worker/core/layouts.ts';
import type { Condition } from '../../worker/core/trace.ts';
import type { PlugWithPhoto, TakeWithTrace, TestRecord } from '../../worker/file/records.ts';
import type { StoreBranch } from '../store/port.ts';
import { type Example, type ExampleTest, type ExampleWords, exampleOf } from './example-data.ts';
import type { ExampleId } from './example-ids.ts';

const DAY_MS = 86_400_000;
/** Time from one take to the next. */
const TAKE_MS = 180_000;
/** Accuracy class of the simulated sensor, whose scale is exact. */
const CLASS_PERCENT = 0.5;

/** Request to the worker. `now`: ISO 8601. */
export interface ExampleRequest {
  readonly id: ExampleId;
  readonly now: string;
  readonly words: ExampleWords;
}

/**
 * Engine, tests, traces and plugs of an example. Its dates are relative to `now`, ISO 8601. The same id gives the same
 * traces.
 */
export function makeExample(id: ExampleId, now: string, words: ExampleWords): StoreBranch {
  const example = exampleOf(id, words);
  const tests = example.tests.map((test, i) => ({
    test,
    record: testOf(example, test, i, now),
    seed: seedOf(id, i),
  }));
  return {
    engines: [
      {
        id,
        name: example.name,
        facts: example.facts,
        origin: 'example',
        createdAt: tests[0]?.record.startedAt ?? now,
        odometerKm: tests.at(-1)?.test.odometerKm,
        plugInterval: example.plugInterval,
      },
    ],
    tests: tests.map(({ record }) => record),
    takes: tests.flatMap(({ test, record, seed }) => takesOf(test, record, seed)),
    plugs: tests.flatMap(({ test, record }) => plugsOf(example, test, record)),
  };
}

const seedOf = (id: ExampleId, test: number): number =>
  [...id].reduce((sum, letter) => (sum * 31 + letter.charCodeAt(0)) % 100_003, 7) + 1000 * test;

const later = (iso: string, ms: number): string => new Date(Date.parse(iso) + ms).toISOString();

function testOf({ id }: Example, test: ExampleTest, index: number, now: string): TestRecord {
  const { odometerKm, oilTemperatureC, batteryBeforeV, note } = test;
  return {
    id: `${id}-test-${index + 1}`,
    engineId: id,
    origin: 'example',
    startedAt: later(now, -test.daysAgo * DAY_MS),
    conditions: {
      altitudeM: 120,
      odometerKm,
      oilTemperatureC,
      batteryBeforeV,
      throttleOpen: true,
      allPlugsOut: true,
      ticked: [],
    },
    rule: { code: 'percent-of-highest' },
    note,
  };
}

function takesOf({ engine, wet }: ExampleTest, test: TestRecord, seed: number): TakeWithTrace[] {
  const random = createRandom(seed);
  const plan: { cylinder: number; condition: Condition }[] = [
    ...cylindersOf(engine.layout).map((cylinder) => ({ cylinder, condition: 'dry' as const })),
    ...wet.map((cylinder) => ({ cylinder, condition: 'wet' as const })),
  ];
  const today = onTheDay(engine, random);
  const ambientKelvin = random.between(283, 298);
  return plan.map(({ cylinder, condition }, i) => {
    const { trace, sensor } = simulateTrace({
      engine: today,
      ambientKelvin,
      cylinder,
      condition,
      seed: seed + i,
      startDeg: random.between(120, 620),
      strokes: 8,
    });
    return {
      take: {
        id: `${test.id}-${cylinder}-${condition}`,
        testId: test.id,
        cylinder,
        condition,
        hose: 'check-valve',
        origin: 'example',
        source: {
          kind: 'simulated',
          name: engine.name,
          sensorMaxKpa: sensor.maxKpa,
          accuracy: { classPercent: CLASS_PERCENT, rangeKpa: sensor.maxKpa },
        },
        startedAt: later(test.startedAt, (i + 1) * TAKE_MS),
        state: 'finished',
      },
      trace,
    };
  });
}

/** The engine with small random changes of battery and rings, which differ from day to day. */
function onTheDay(engine: SimulatedEngine, random: Random): SimulatedEngine {
  return {
    ...engine,
    drive: { ...engine.drive, crankingRpm: engine.drive.crankingRpm * random.between(0.96, 1.04) },
    cylinders: new Map(
      [...engine.cylinders].map(([n, health]) => [
        n,
        { ...health, ringMm2: health.ringMm2 * random.between(0.8, 1.25) },
      ]),
    ),
  };
}

function plugsOf(
  { id, facts }: Example,
  { plugs, odometerKm }: ExampleTest,
  test: TestRecord,
): PlugWithPhoto[] {
  return cylindersOf(facts.layout).map((cylinder) => ({
    plug: {
      id: `${test.id}-plug-${cylinder}`,
      engineId: id,
      cylinder,
      origin: 'example',
      seenAt: later(test.startedAt, -TAKE_MS),
      signs: plugs.signs[cylinder] ?? ['normal'],
      replaced: plugs.replaced,
      gapMm: plugs.gapMm,
      odometerKm,
      hasPhoto: false,
    },
  }));
}
