import type { Hose } from '../worker/core/trace.ts';
import { type EngineOptions, makeEngine, ORDINARY_BORE_MM, type SimulatedEngine } from './engine.ts';
import { FAULT_KINDS, type FaultKind, isCylinderFault, withFault } from './faults.ts';
import { createRandom, type Random } from './random.ts';
import { rigFor } from './rig.ts';
import type { TraceSpec } from './simulate.ts';

/** One cylinder of one engine of a mixed population, and its fault. */
export interface Specimen {
  readonly spec: TraceSpec;
  readonly engine: SimulatedEngine;
  readonly kind: FaultKind | 'sound';
}

/** Fixed properties of a population; missing ones are drawn at random. */
export interface PopulationOptions {
  readonly seed: number;
  readonly hose?: Hose | undefined;
  readonly rateHz?: number | undefined;
  /** No spikes, no lost packets. */
  readonly whole?: boolean | undefined;
}

const RATES_HZ = [200, 250, 400, 500, 1000];

function drawEngine(random: Random): EngineOptions {
  const count = random.pick([1, 2, 3, 4, 4, 4, 6, 8]);
  const layout = { kind: 'inline', rows: [Array.from({ length: count }, (_, i) => i + 1)] } as const;
  const leak = random.between(0.4, 0.8);
  const allCylinders = {
    ringDryFactor: random.between(1.2, 1.8),
    ringSettlingKpaS: random.between(8, 20),
  };
  const common = { layout, wallKelvin: random.between(305, 360) };
  const kind = random.next();
  if (kind < 0.1) {
    const boreMm = random.between(45, 75);
    return {
      ...common,
      layout: { kind: 'inline', rows: [[1]] },
      cycle: 2,
      allCylinders: { ...allCylinders, ringMm2: (leak * boreMm) / ORDINARY_BORE_MM },
      boreMm,
      strokeMm: boreMm * random.between(0.9, 1.1),
      rodMm: boreMm * 1.85,
      compressionRatio: random.between(10, 13.5),
      drive: { crankingRpm: random.between(250, 450), sagPer10S: random.between(0, 0.1) },
    };
  }
  const diesel = kind < 0.22;
  const boreMm = diesel ? random.between(75, 105) : random.between(68, 98);
  const strokeMm = boreMm * random.between(0.85, 1.2);
  return {
    ...common,
    fuel: diesel ? 'diesel' : 'spark',
    allCylinders: { ...allCylinders, ringMm2: leak },
    boreMm,
    strokeMm,
    rodMm: strokeMm * random.between(1.5, 1.8),
    compressionRatio: diesel ? random.between(16, 21) : random.between(8.4, 10.8),
    intakeClosesDegAbdc: diesel ? random.between(18, 38) : random.between(40, 62),
    drive: {
      crankingRpm: diesel ? random.between(170, 260) : random.between(180, 310),
      sagPer10S: random.chance(0.3) ? random.between(0.05, 0.2) : random.between(0, 0.05),
    },
  };
}

/** Specimen number `index` of the population of a seed. Each is drawn independently, so any can be made alone. */
export function specimen(index: number, options: PopulationOptions): Specimen {
  const random = createRandom(options.seed).fork(index);
  const sound = makeEngine(drawEngine(random));
  const cylinder = 1 + random.index(sound.cylinders.size);
  const diesel = sound.fuel === 'diesel';
  const faulty = random.chance(0.55);
  const drawn = random.pick(FAULT_KINDS.filter((k) => k !== 'closed-throttle' || !diesel));
  const severity = random.next();
  const kind = faulty ? drawn : 'sound';
  const engine =
    kind === 'sound' ? sound : withFault(sound, kind, isCylinderFault(kind) ? [cylinder] : [], severity);
  const cycleDegrees = sound.cycle === 4 ? 720 : 360;
  const hose = random.chance(0.5) ? 'open' : 'check-valve';
  const rateHz = random.pick(RATES_HZ);
  const absolute = random.chance(0.25);
  const isDamaged = !options.whole;
  const spec: TraceSpec = {
    engine,
    cylinder,
    condition: !diesel && random.chance(0.15) ? 'wet' : 'dry',
    rig: rigFor(options.hose ?? hose),
    startDeg: random.between(0, cycleDegrees),
    strokes: 6 + random.index(6),
    releaseDeg: random.between(20, cycleDegrees - 20),
    restBeforeS: random.between(0.5, 1.5),
    ambientKpa: random.between(85, 102),
    ambientKelvin: random.between(270, 308),
    seed: random.index(2 ** 31),
    sensor: {
      rateHz: options.rateHz ?? rateHz,
      absolute,
      noiseKpa: random.between(0.3, 2.5),
      offsetKpa: random.between(-6, 6),
      resolutionKpa: random.pick([0, 0.1, 0.25, 0.5, 1]),
      maxKpa: diesel ? 6000 : 3000,
      lagS: random.between(0, 0.0008),
      jitterS: random.chance(0.5) ? 0.0003 : 0,
    },
    damage: {
      spikes: random.chance(0.3) && isDamaged ? 3 : 0,
      packetLoss: random.chance(0.4) && isDamaged ? 0.02 : 0,
      samplesPerPacket: 8,
    },
  };
  return { spec, engine, kind };
}
