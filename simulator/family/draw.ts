import type { Layout } from '../../worker/core/engine.ts';
import type { Hose } from '../../worker/core/trace.ts';
import { makeEngine, ORDINARY_BORE_MM, type SimulatedEngine } from '../engine.ts';
import { createRandom, type Random } from '../random.ts';
import { type Rig, rigFor } from '../rig.ts';
import type { SensorOptions } from '../transducer.ts';
import { type ModelName, modelChange } from './models.ts';

/** A sound engine of one model of the family, and how it is measured. */
export interface FamilyEngine {
  readonly engine: SimulatedEngine;
  readonly rig: Rig;
  readonly sensor: SensorOptions;
  /** Intake closing that its engine card shows, degrees after bottom dead centre. */
  readonly cardClosesDegAbdc: number;
  /** Angle after the last top at which the starter is released; `null`: as usual. */
  readonly releaseDeg: number | null;
}

/** Rows of cylinders, the most common plans several times. */
const PLANS: readonly Layout[] = [
  { kind: 'inline', rows: [[1, 2]] },
  { kind: 'inline', rows: [[1, 2, 3]] },
  ...Array.from({ length: 3 }, (): Layout => ({ kind: 'inline', rows: [[1, 2, 3, 4]] })),
  { kind: 'inline', rows: [[1, 2, 3, 4, 5, 6]] },
  {
    kind: 'vee',
    rows: [
      [1, 3, 5],
      [2, 4, 6],
    ],
  },
  {
    kind: 'flat',
    rows: [
      [1, 3],
      [2, 4],
    ],
  },
];
const SINGLE: Layout = { kind: 'inline', rows: [[1]] };
const FEW: readonly Layout[] = [SINGLE, SINGLE, PLANS[0]!];
const SMALL: readonly ModelName[] = ['two-stroke', 'compression-release'];

const layoutOf = (model: ModelName, random: Random): Layout =>
  SMALL.includes(model) ? random.pick(FEW) : random.chance(0.1) ? SINGLE : random.pick(PLANS);

/** Draws a sound engine. The same model and seed give the same engine. */
export function drawFamilyEngine(model: ModelName, seed: number, hose: Hose): FamilyEngine {
  const random = createRandom(seed);
  const change = modelChange(model, random.fork(1));
  const layout = layoutOf(model, random);
  const boreMm = change.engine?.boreMm ?? random.between(70, 95);
  const strokeMm = boreMm * random.between(0.88, 1.1);
  const leakMm2 = random.between(0.35, 0.8) * (boreMm / ORDINARY_BORE_MM);
  const health = () => ({
    ringMm2: leakMm2 * random.between(0.85, 1.2),
    ringDryFactor: (change.ringDryFactor ?? 1.5) * random.between(0.85, 1.15),
    ringSettlingKpaS: random.between(8, 30),
    carbonShare: random.between(0, 0.015),
  });
  const engine = makeEngine({
    layout,
    boreMm,
    strokeMm,
    rodMm: strokeMm * random.between(1.55, 1.75),
    compressionRatio: random.between(8.5, 11),
    intakeClosesDegAbdc: random.between(45, 66),
    exhaustOpensDegBbdc: random.between(40, 60),
    wallKelvin: random.between(305, 365),
    wallHeat: random.between(0.7, 1.4),
    ...change.engine,
    drive: {
      crankingRpm: random.between(180, 290),
      sagPer10S: random.chance(0.3) ? random.between(0, 0.15) : 0.03,
      ...change.drive,
    },
    health: Object.fromEntries(layout.rows.flat().map((cylinder) => [cylinder, health()])),
  });
  return {
    engine,
    rig: { ...rigFor(hose), ...change.rig },
    sensor: {
      rateHz: random.pick([200, 250, 500]),
      noiseKpa: random.between(0.3, 2.5),
      offsetKpa: random.between(-6, 6),
      resolutionKpa: random.pick([0.1, 0.25, 0.5]),
      maxKpa: engine.fuel === 'diesel' ? 6000 : 3000,
      ...change.sensor,
    },
    cardClosesDegAbdc: Math.round(engine.intakeClosesDegAbdc - (change.cardClosesEarlierDeg ?? 0)),
    releaseDeg: change.releaseDeg ?? null,
  };
}
