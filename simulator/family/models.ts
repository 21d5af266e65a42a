/**
 * A family of cranking models: the judgement and the leak size are scored on each, because an analysis that fits one model may be
 * overconfident on another. Each entry changes one mechanism of the default model within a range that covers what books and
 * other models disagree about; `mixed` changes all. Ranges without a source are the author's own.
 */
import type { SimulatedEngine } from '../engine.ts';
import type { Random } from '../random.ts';
import type { Rig } from '../rig.ts';
import type { SensorOptions } from '../transducer.ts';

/** What a model changes; the rest keeps the values drawn for an ordinary engine. */
export interface ModelChange {
  readonly engine?: Partial<Omit<SimulatedEngine, 'cylinders' | 'drive' | 'layout'>> | undefined;
  readonly drive?: Partial<SimulatedEngine['drive']> | undefined;
  /** Initial ring leak relative to the built-up one, in place of the drawn one. */
  readonly ringDryFactor?: number | undefined;
  readonly rig?: Partial<Rig> | undefined;
  readonly sensor?: SensorOptions | undefined;
  /** The engine card shows an intake closing this much earlier than the real one, degrees. */
  readonly cardClosesEarlierDeg?: number | undefined;
  /** Angle after the last top at which the starter is released. */
  readonly releaseDeg?: number | undefined;
}

type Model = (random: Random) => ModelChange;

/** No heat to the walls: the upper bound of every heat law. */
const noHeat: Model = () => ({ engine: { wallHeat: 0 } });

/** Hohenberg's law, which gives about twice Woschni's coefficient at cranking speed. */
const hohenberg: Model = (r) => ({ engine: { heatLaw: 'hohenberg', wallHeat: r.between(0.5, 1.5) } });

/** Woschni's law without combustion and with the piston's speed only. */
const woschni: Model = (r) => ({ engine: { heatLaw: 'woschni-piston', wallHeat: r.between(0.5, 2) } });

/** Volume between the rings: land of 4 to 6 mm with 0.3 to 0.5 mm of radial clearance and the grooves, about 0.3 to 1 cm3. */
const crevice: Model = (r) => ({
  engine: { ringPack: { creviceCm3: r.between(0.3, 1.2), upperOverLower: r.between(0.7, 3) } },
});

/** A film that builds with the piston's travel over one to five working cycles. */
const oilFilm: Model = (r) => ({
  engine: { filmTurns: r.between(1, 8) },
  ringDryFactor: r.between(1.5, 3.5),
});

/** Starter and flywheel just strong enough: the crank almost stops at the top, most of all with large cylinders. */
const weakStarter: Model = (r) => ({
  engine: { boreMm: r.between(88, 104) },
  drive: {
    stallShare: r.between(0.55, 0.8),
    inertiaShare: r.between(0.4, 1),
    crankingRpm: r.between(150, 230),
  },
});

/** Intake cam parked late, as by a phaser without oil pressure. Half of the cards show the running figure. */
const lateCam: Model = (r) => {
  const closes = r.between(66, 85);
  return {
    engine: { intakeClosesDegAbdc: closes, compressionRatio: r.between(9.5, 12.5) },
    cardClosesEarlierDeg: r.chance(0.5) ? r.between(15, 35) : 0,
  };
};

/** Intake closing over the whole range in use. */
const anyClosing: Model = (r) => ({ engine: { intakeClosesDegAbdc: r.between(30, 85) } });

/** Automatic compression release of a small engine. */
const compressionRelease: Model = (r) => ({
  engine: {
    boreMm: r.between(65, 92),
    compressionRatio: r.between(8, 9.5),
    decompressor: { mm2: r.between(4, 14), closesDegBtdc: r.between(40, 90) },
  },
  drive: { crankingRpm: r.between(280, 450) },
});

/** Two-stroke: exhaust port symmetrical about bottom dead centre, with more or less resistance. */
const twoStroke: Model = (r) => {
  const portDeg = r.between(75, 98);
  return {
    engine: {
      cycle: 2,
      boreMm: r.between(44, 76),
      compressionRatio: r.between(9, 14),
      intakeClosesDegAbdc: portDeg,
      exhaustOpensDegBbdc: portDeg,
      portLoss: r.between(1, 5),
    },
    drive: { crankingRpm: r.between(250, 500) },
  };
};

const diesel: Model = (r) => ({
  engine: {
    fuel: 'diesel',
    boreMm: r.between(75, 108),
    compressionRatio: r.between(15.5, 21),
    intakeClosesDegAbdc: r.between(20, 60),
    heatLaw: r.pick(['woschni', 'hohenberg'] as const),
    wallHeat: r.between(0.6, 1.5),
  },
  drive: { crankingRpm: r.between(160, 270) },
});

/** Volume of the adapter: a spark plug's thread alone to an extension in a deep well. */
const adapter: Model = (r) => ({ rig: { adapterCm3: r.between(0.5, 8), hoseCm3: r.between(2, 15) } });

/** A check valve that passes little, or lifts late. */
const checkValve: Model = (r) => ({
  rig: { checkMm2: r.between(0.8, 8), checkOpensKpa: r.between(2, 40), checkFullKpa: r.between(5, 40) },
});

/** A sensor within a cheap transducer's data sheet: 2 % of scale, 1 % of curvature, a zero that creeps. */
const sensor: Model = (r) => ({
  sensor: {
    gain: r.between(0.98, 1.02),
    curvature: r.between(-0.01, 0.01),
    driftKpaPerS: r.between(-1, 1),
    lagS: r.between(0, 0.002),
  },
});

/** The starter is released early, and a free engine coasts through further compressions. */
const coasting: Model = (r) => ({
  drive: { frictionShare: r.between(0.2, 0.5), inertiaShare: r.between(1.5, 3) },
  releaseDeg: r.between(40, 300),
});

const mixed: Model = (r) => {
  const parts = [r.pick([noHeat, hohenberg, woschni]), anyClosing, adapter, checkValve, sensor];
  if (r.chance(0.5)) parts.push(crevice);
  if (r.chance(0.5)) parts.push(oilFilm);
  if (r.chance(0.3)) parts.push(weakStarter);
  if (r.chance(0.2)) parts.push(coasting);
  return parts.map((part) => part(r)).reduce(merged);
};

const merged = (a: ModelChange, b: ModelChange): ModelChange => ({
  ...a,
  ...b,
  engine: { ...a.engine, ...b.engine },
  drive: { ...a.drive, ...b.drive },
  rig: { ...a.rig, ...b.rig },
  sensor: { ...a.sensor, ...b.sensor },
});

/** Every model by its name. */
const MODELS = {
  default: (): ModelChange => ({}),
  'no-heat': noHeat,
  hohenberg,
  woschni,
  crevice,
  'oil-film': oilFilm,
  'weak-starter': weakStarter,
  'late-cam': lateCam,
  'any-closing': anyClosing,
  'compression-release': compressionRelease,
  'two-stroke': twoStroke,
  diesel,
  adapter,
  'check-valve': checkValve,
  sensor,
  coasting,
  mixed,
} as const satisfies Readonly<Record<string, Model>>;

export type ModelName = keyof typeof MODELS;

export const MODEL_NAMES = Object.keys(MODELS) as ModelName[];

/** Draws what this model changes. */
export const modelChange = (model: ModelName, random: Random): ModelChange => MODELS[model](random);
