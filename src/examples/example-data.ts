/** Definitions of the three example engines. `make-example.ts` creates records and traces from them. */
import { UNEVEN_HEALTH } from '../../simulator/demo-engines.ts';
import { makeEngine, type SimulatedEngine } from '../../simulator/engine.ts';
import { withFault } from '../../simulator/faults.ts';
import type { EngineFacts } from '../../worker/core/engine.ts';
import type { PlugSign } from '../../worker/core/plugs.ts';
import type { PlugInterval } from '../../worker/file/records.ts';
import type { ExampleId } from './example-ids.ts';

/** Names and notes, in the user's language. */
export interface ExampleWords {
  readonly fourName: string;
  readonly fourNote: string;
  readonly sixName: string;
  readonly sixNote: string;
  readonly twinName: string;
  readonly twinNote: string;
}

/** One test of an example engine. */
export interface ExampleTest {
  readonly daysAgo: number;
  readonly odometerKm: number;
  /** The engine's condition at that time. */
  readonly engine: SimulatedEngine;
  /** Cylinders with a wet test. */
  readonly wet: readonly number[];
  readonly oilTemperatureC: number;
  readonly batteryBeforeV: number;
  readonly note: string;
  readonly plugs: {
    readonly replaced: boolean;
    readonly gapMm: number;
    /** By cylinder; those left out look normal. */
    readonly signs: Readonly<Record<number, readonly PlugSign[]>>;
  };
}

/** One example engine with its history. */
export interface Example {
  readonly id: ExampleId;
  readonly name: string;
  readonly facts: EngineFacts;
  readonly plugInterval: PlugInterval;
  /** Oldest first. */
  readonly tests: readonly ExampleTest[];
}

function factsOf(engine: SimulatedEngine, manual: EngineFacts['manual']): EngineFacts {
  return {
    cycle: engine.cycle,
    fuel: engine.fuel,
    layout: engine.layout,
    manual,
    geometry: {
      boreMm: engine.boreMm,
      strokeMm: engine.strokeMm,
      rodMm: engine.rodMm,
      compressionRatio: engine.compressionRatio,
      intakeClosesDegAbdc: engine.intakeClosesDegAbdc,
    },
  };
}

type Plugs = ExampleTest['plugs'];

/** A test; without further details dry only and without a note. */
const testOf = (given: Omit<ExampleTest, 'wet' | 'note'> & Partial<ExampleTest>): ExampleTest => ({
  wet: [],
  note: '',
  ...given,
});

const newPlugs = (gapMm: number): Plugs => ({ replaced: true, gapMm, signs: {} });

/** Plugs that stay in; by cylinder what is seen on them. */
const usedPlugs = (gapMm: number, signs: Plugs['signs'] = {}): Plugs => ({ replaced: false, gapMm, signs });

function tiredFour(words: ExampleWords): Example {
  const engine = makeEngine({
    name: words.fourName,
    layout: { kind: 'inline', rows: [[1, 2, 3, 4]] },
    compressionRatio: 8.8,
    health: UNEVEN_HEALTH,
    drive: { crankingRpm: 225, sagPer10S: 0.08 },
  });
  const worn = (severity: number) => withFault(engine, 'worn-rings', [3], severity);
  return {
    id: 'example-four',
    name: words.fourName,
    facts: factsOf(engine, { minKpa: 900, maxKpa: 1300 }),
    plugInterval: { km: 30_000 },
    tests: [
      testOf({
        daysAgo: 748,
        odometerKm: 148_200,
        engine,
        oilTemperatureC: 82,
        batteryBeforeV: 12.6,
        plugs: newPlugs(0.8),
      }),
      testOf({
        daysAgo: 391,
        odometerKm: 163_900,
        engine: worn(-0.15),
        wet: [3],
        oilTemperatureC: 85,
        batteryBeforeV: 12.5,
        plugs: usedPlugs(0.9, { 3: ['ash'] }),
      }),
      testOf({
        daysAgo: 20,
        odometerKm: 176_400,
        engine: worn(0.15),
        wet: [3],
        oilTemperatureC: 84,
        batteryBeforeV: 12.4,
        note: words.fourNote,
        plugs: usedPlugs(0.9, { 3: ['oily'] }),
      }),
    ],
  };
}

function leakingSix(words: ExampleWords): Example {
  const engine = makeEngine({
    name: words.sixName,
    layout: {
      kind: 'vee',
      rows: [
        [1, 3, 5],
        [2, 4, 6],
      ],
    },
    boreMm: 88,
    strokeMm: 82,
    compressionRatio: 9.4,
    health: UNEVEN_HEALTH,
  });
  return {
    id: 'example-six',
    name: words.sixName,
    facts: factsOf(engine, { minKpa: 1000, spreadKpa: 170 }),
    plugInterval: { km: 60_000 },
    tests: [
      testOf({
        daysAgo: 423,
        odometerKm: 92_100,
        engine,
        oilTemperatureC: 88,
        batteryBeforeV: 12.7,
        plugs: newPlugs(1.1),
      }),
      testOf({
        daysAgo: 36,
        odometerKm: 108_700,
        engine: withFault(engine, 'gasket-leak', [3, 5], 0.4),
        wet: [3, 5],
        oilTemperatureC: 90,
        batteryBeforeV: 12.6,
        note: words.sixNote,
        plugs: usedPlugs(1.1, { 3: ['blistered'], 5: ['blistered', 'wet-fuel'] }),
      }),
    ],
  };
}

function healthyTwin(words: ExampleWords): Example {
  const engine = makeEngine({
    name: words.twinName,
    layout: { kind: 'flat', rows: [[1], [2]] },
    boreMm: 90,
    strokeMm: 78,
    rodMm: 132,
    compressionRatio: 8.8,
    health: UNEVEN_HEALTH,
    drive: { crankingRpm: 280 },
  });
  return {
    id: 'example-twin',
    name: words.twinName,
    facts: factsOf(engine, { minKpa: 950, spreadKpa: 140 }),
    plugInterval: { km: 12_000 },
    tests: [
      testOf({
        engine,
        note: words.twinNote,
        daysAgo: 762,
        odometerKm: 21_300,
        oilTemperatureC: 95,
        batteryBeforeV: 12.8,
        plugs: newPlugs(0.7),
      }),
      testOf({
        engine,
        note: words.twinNote,
        daysAgo: 402,
        odometerKm: 27_800,
        oilTemperatureC: 92,
        batteryBeforeV: 12.7,
        plugs: usedPlugs(0.75),
      }),
      testOf({
        engine,
        note: words.twinNote,
        daysAgo: 31,
        odometerKm: 34_150,
        oilTemperatureC: 94,
        batteryBeforeV: 12.7,
        plugs: usedPlugs(0.85, { 1: ['electrode-worn'], 2: ['electrode-worn'] }),
      }),
    ],
  };
}

/** Definition of an example, with names and notes from `words`. */
export function exampleOf(id: ExampleId, words: ExampleWords): Example {
  const made: Readonly<Record<ExampleId, (words: ExampleWords) => Example>> = {
    'example-four': tiredFour,
    'example-six': leakingSix,
    'example-twin': healthyTwin,
  };
  return made[id](words);
}
