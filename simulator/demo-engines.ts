import { makeEngine, type SimulatedEngine } from './engine.ts';
import { withFault } from './faults.ts';

/** An invented engine for demonstrations. */
export interface DemoEngine {
  readonly id: string;
  /** One sentence about its condition. */
  readonly story: string;
  readonly engine: SimulatedEngine;
}

const INLINE_FOUR = { kind: 'inline', rows: [[1, 2, 3, 4]] } as const;
const VEE_SIX = {
  kind: 'vee',
  rows: [
    [1, 3, 5],
    [2, 4, 6],
  ],
} as const;

/** Sound cylinders that differ slightly, as real ones do; by cylinder number. */
export const UNEVEN_HEALTH = {
  1: { ringMm2: 0.46 },
  2: { ringMm2: 0.54 },
  3: { ringMm2: 0.5 },
  4: { ringMm2: 0.58 },
  5: { ringMm2: 0.48 },
  6: { ringMm2: 0.55 },
};

/** Engines of the simulated source and of `simulate --demo`. */
export const DEMO_ENGINES: readonly DemoEngine[] = [
  {
    id: 'healthy-inline-four',
    story: 'All four cylinders are sound.',
    engine: makeEngine({ name: 'Larch in-line four', layout: INLINE_FOUR, health: UNEVEN_HEALTH }),
  },
  {
    id: 'tired-inline-four',
    story: 'The rings of cylinder 3 are worn.',
    engine: withFault(
      makeEngine({
        name: 'Tired Alder in-line four',
        layout: INLINE_FOUR,
        compressionRatio: 8.8,
        health: UNEVEN_HEALTH,
        allCylinders: { carbonShare: 0.01 },
        drive: { crankingRpm: 225, sagPer10S: 0.12 },
      }),
      'worn-rings',
      [3],
      0.45,
    ),
  },
  {
    id: 'gasket-vee-six',
    story: 'The head gasket leaks between cylinders 3 and 5.',
    engine: withFault(
      makeEngine({
        name: 'Rowan V6',
        layout: VEE_SIX,
        boreMm: 88,
        strokeMm: 82,
        compressionRatio: 9.4,
        health: UNEVEN_HEALTH,
      }),
      'gasket-leak',
      [3, 5],
      0.5,
    ),
  },
  {
    id: 'healthy-flat-twin',
    story: 'Both cylinders are sound.',
    engine: makeEngine({
      name: 'Hazel flat twin',
      layout: { kind: 'flat', rows: [[1], [2]] },
      boreMm: 90,
      strokeMm: 78,
      rodMm: 132,
      compressionRatio: 8.8,
      health: UNEVEN_HEALTH,
      drive: { crankingRpm: 280 },
    }),
  },
  {
    id: 'single-two-stroke',
    story: 'The one cylinder is sound; every turn of the crank is a stroke.',
    engine: makeEngine({
      name: 'Willow single two-stroke',
      layout: { kind: 'inline', rows: [[1]] },
      cycle: 2,
    }),
  },
  {
    id: 'diesel-four',
    story: 'All four cylinders are sound; pressures are twice those of a petrol engine.',
    engine: makeEngine({
      name: 'Oak diesel four',
      layout: INLINE_FOUR,
      fuel: 'diesel',
      health: UNEVEN_HEALTH,
    }),
  },
];
