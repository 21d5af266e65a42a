/** Captures from the project's own simulator, drawn over engines, wear, rigs, sensors, radios and weather. */

import { makeEngine, type SimulatedEngine } from '../../../simulator/engine.ts';
import { createRandom, type Random } from '../../../simulator/random.ts';
import { CHECK_VALVE_RIG, OPEN_RIG } from '../../../simulator/rig.ts';
import { type SimulatedTrace, simulateTrace, type TraceSpec } from '../../../simulator/simulate.ts';
import { layoutFromName } from '../../../worker/core/layouts.ts';
import type { NoticeCode } from '../../../worker/core/notice.ts';
import type { Hose, Trace } from '../../../worker/core/trace.ts';
import { parseTraceCsv, writeTraceCsv } from '../../../worker/file/csv/trace-csv.ts';
import type { Case } from './case.ts';

const GOOD_RATES = [200, 250, 400, 500, 1000];
const FALLING_RATES = [20, 25, 33, 40, 50, 66, 80, 100, 125, 150, 200, 250, 500];

/** `count` captures of each kind; the same seed gives the same captures. */
export function simulatedCases(count: number, seed: number): Case[] {
  const random = createRandom(seed);
  const cases: Case[] = [];
  for (let i = 0; i < count; i++) {
    cases.push(ordinary(random.fork(4 * i), 'open', `open-${i}`));
    cases.push(ordinary(random.fork(4 * i + 1), 'check-valve', `check-valve-${i}`));
    cases.push(slowSensor(random.fork(4 * i + 2), `rate-${i}`));
    cases.push(badRig(random.fork(4 * i + 3), i));
  }
  return cases;
}

/** A sound, worn, leaking or coked cylinder, alone in its engine to keep the simulation short. */
function anyEngine(r: Random): SimulatedEngine {
  const diesel = r.chance(0.12);
  const kind = r.pick(['sound', 'sound', 'worn', 'valve', 'carbon']);
  return makeEngine({
    layout: layoutFromName(r.pick(['inline-1', 'inline-2', 'inline-4', 'inline-6']))!,
    fuel: diesel ? 'diesel' : 'spark',
    compressionRatio: diesel ? r.between(16, 20) : r.between(8.4, 10.6),
    boreMm: r.between(72, 92),
    strokeMm: r.between(72, 94),
    intakeClosesDegAbdc: r.between(44, 64),
    drive: { crankingRpm: r.between(170, 290), sagPer10S: r.chance(0.3) ? r.between(0.05, 0.2) : 0.03 },
    allCylinders: {
      ringMm2: kind === 'worn' ? r.between(1.5, 4) : r.between(0.35, 0.7),
      ringDryFactor: kind === 'worn' ? r.between(2, 3.5) : r.between(1, 1.6),
      ringSettlingKpaS: kind === 'worn' ? 45 : 15,
      valveMm2: kind === 'valve' ? r.between(1.2, 5) : 0,
      carbonShare: kind === 'carbon' ? r.between(0.08, 0.2) : 0,
    },
  });
}

function anySpec(r: Random, hose: Hose): TraceSpec {
  const lossy = r.chance(0.3);
  return {
    engine: anyEngine(r),
    cylinder: 1,
    rig: hose === 'open' ? OPEN_RIG : CHECK_VALVE_RIG,
    startDeg: r.between(20, 690),
    strokes: 6 + r.index(5),
    releaseDeg: r.between(20, 700),
    restBeforeS: r.between(0.5, 1.1),
    restAfterS: r.between(0.8, 1.6),
    ambientKpa: r.between(85, 102),
    seed: r.index(1e9),
    sensor: {
      rateHz: r.pick(GOOD_RATES),
      noiseKpa: r.between(0.3, 2.5),
      offsetKpa: r.between(-6, 6),
      resolutionKpa: r.pick([0.1, 0.25, 0.75]),
      jitterS: r.chance(0.5) ? 0.0003 : 0,
      maxKpa: 6000,
    },
    damage: { spikes: r.chance(0.35) ? 3 : 0, packetLoss: lossy ? 0.02 : 0, samplesPerPacket: 8 },
  };
}

/** Simulates, then writes and reads the CSV, as for any recording. */
function caseOf(
  name: string,
  spec: TraceSpec,
  expect: NoticeCode | 'none' | undefined,
  tellHose: boolean,
): Case {
  const simulated = simulateTrace(spec);
  const { truth, sensor } = simulated;
  const trace = expect === 'engine-fired' ? fired(simulated) : simulated.trace;
  const cycle = spec.engine.cycle;
  const header = {
    cycle,
    hose: tellHose ? truth.hose : undefined,
    ambientKpa: spec.ambientKpa,
    geometry: {},
    manual: {},
  };
  const outcome = parseTraceCsv(writeTraceCsv(trace, header), `${name}.csv`);
  if (!outcome.ok) throw new Error(`${name}: ${outcome.problem.detail}`);
  return {
    name,
    recorded: outcome.traces[0]!,
    truth: {
      checkValve: truth.hose === 'check-valve',
      strokes: truth.strokes,
      peaksKpa: truth.peaksKpa,
      levelsKpa: truth.levelsKpa,
      finalKpa: truth.finalKpa,
      settled: truth.settled,
      rpm: truth.rpm,
      rateHz: sensor.rateHz,
      lossy: (spec.damage?.packetLoss ?? 0) > 0,
      expect,
    },
  };
}

/** The third stroke burns: up to 2.3 times its pressure around the top. */
function fired({ trace, truth }: SimulatedTrace): Trace {
  const topS = truth.tdcS[2]!;
  const burnt = (kpa: number, t: number) => kpa * (1 + 1.3 * Math.exp(-(((t - topS) / 0.04) ** 2)));
  return { ...trace, pressureKpa: trace.pressureKpa.map((kpa, i) => burnt(kpa, trace.timeS[i]!)) };
}

const ordinary = (r: Random, hose: Hose, name: string) =>
  caseOf(name, anySpec(r, hose), 'none', r.chance(0.5));

function slowSensor(r: Random, name: string): Case {
  const spec = anySpec(r, 'open');
  const rateHz = r.pick(FALLING_RATES);
  return caseOf(name, { ...spec, sensor: { ...spec.sensor, rateHz }, damage: {} }, undefined, r.chance(0.5));
}

const BAD_RIGS = [
  'too-few-strokes',
  'samples-missing',
  'sensor-clipped',
  'cranking-slow',
  'cranking-sagged',
  'engine-fired',
  'rig-leaks',
  'zero-shifted',
  'no-strokes',
] as const satisfies readonly NoticeCode[];

function badRig(r: Random, turn: number): Case {
  const expect = BAD_RIGS[turn % BAD_RIGS.length]!;
  const hose =
    expect === 'rig-leaks'
      ? 'check-valve'
      : expect === 'cranking-sagged' || expect === 'engine-fired'
        ? 'open'
        : r.pick(['open', 'check-valve'] as const);
  const sound = { ringMm2: 0.5, ringDryFactor: 1.3, ringSettlingKpaS: 15, valveMm2: 0, carbonShare: 0 };
  const base = anySpec(r, hose);
  const layout = layoutFromName('inline-4')!;
  const spec = {
    ...base,
    engine: makeEngine({ layout, compressionRatio: r.between(8.6, 10.4), allCylinders: sound }),
  };
  return caseOf(`${expect}-${turn}`, spoilt(r, spec, expect), expect, r.chance(0.5));
}

function spoilt(r: Random, spec: TraceSpec, expect: (typeof BAD_RIGS)[number]): TraceSpec {
  const { engine, sensor } = spec;
  const drive = (crankingRpm: number, sagPer10S: number) => ({
    ...spec,
    engine: { ...engine, drive: { ...engine.drive, crankingRpm, sagPer10S } },
  });
  switch (expect) {
    case 'too-few-strokes':
      return { ...spec, startDeg: 200, strokes: 1 + r.index(2), releaseDeg: 150 };
    case 'samples-missing':
      return { ...spec, damage: { packetLoss: r.between(0.12, 0.3), samplesPerPacket: 8 } };
    case 'sensor-clipped':
      return { ...spec, sensor: { ...sensor, maxKpa: r.between(500, 800) } };
    case 'cranking-slow':
      return drive(r.between(70, 95), 0);
    case 'cranking-sagged':
      return { ...drive(240, r.between(0.75, 0.9)), strokes: 12 };
    case 'engine-fired':
      return { ...spec, startDeg: 200, strokes: 8 };
    case 'rig-leaks':
      return { ...spec, restAfterS: 2, rig: { ...CHECK_VALVE_RIG, hoseLeakMm2: r.between(0.02, 0.08) } };
    case 'zero-shifted':
      return { ...spec, sensor: { ...sensor, offsetKpa: r.pick([-1, 1]) * r.between(18, 40) } };
    case 'no-strokes':
      return { ...spec, crankS: 0 };
  }
}
