import type { EngineGeometry } from '../engine.ts';
import type { Cycle } from '../trace.ts';
import { SEA_LEVEL_KPA } from '../units.ts';
import { crankCylinder } from './cranking-model.ts';
import { type Cranked, expectedCranking, standardAtmosphereKpa } from './expected.ts';
import { clearanceCm3, SOUND_LEAK_MM2, usualCrank, usualGeometry } from './leak-table.ts';

/** What may change while the engine stays the same, and in which unit `x` counts. */
export type WhatIfFactor =
  /** Metres above sea level, standard atmosphere. */
  | 'altitude'
  /** Turns a minute. */
  | 'cranking-speed'
  /** Pressure in the intake with the throttle not fully open, share of the barometer. */
  | 'throttle'
  /** Space that the gauge's adapter adds, cm3. */
  | 'adapter-volume'
  /** Intake closes later (above 0) or earlier than by the card, crank degrees: cam timing, worn cam. */
  | 'intake-closing'
  /** Effective leak, mm2. */
  | 'leak';

/** Ends of the plot, and how things stand before anything changes. */
const RANGE: Readonly<Record<WhatIfFactor, readonly [number, number]>> = {
  altitude: [0, 3000],
  'cranking-speed': [150, 320],
  throttle: [0.3, 1],
  'adapter-volume': [0, 20],
  'intake-closing': [-20, 40],
  leak: [0.2, 6],
};
const USUAL_RPM = 240;
const POINTS = 13;
/**
 * Strength of the crank (`leak-table.ts`): an engine whose starter is strong for it. With weaker ones the pressure falls
 * faster as cranking slows.
 */
const STRENGTH = 2;

export interface WhatIfPoint {
  readonly x: number;
  /** Gauge kPa, with the range that covers 95 of 100 sound engines. */
  readonly expectedKpa: number;
  readonly lowKpa: number;
  readonly highKpa: number;
}

/**
 * How a sound cylinder's expected pressure moves with one factor, ascending in `x`. The level is that of `expectedCranking`, its
 * change the physical model's. `[]` when ratio, bore or stroke are not known.
 */
export function whatIf(
  geometry: EngineGeometry,
  conditions: Cranked & { readonly cycle?: Cycle | undefined },
  factor: WhatIfFactor,
): WhatIfPoint[] {
  const level = expectedCranking(geometry, conditions);
  const engine = usualGeometry(geometry, conditions.cycle ?? 4);
  if (!level || !engine) return [];
  const ambientKpa = conditions.ambientKpa ?? SEA_LEVEL_KPA;
  const rpm = conditions.rpm ?? USUAL_RPM;
  const clearance = clearanceCm3(engine);
  const peak = (x: number | null): number => {
    const at = (one: WhatIfFactor, usual: number) => (factor === one && x !== null ? x : usual);
    const airKpa = factor === 'altitude' && x !== null ? standardAtmosphereKpa(x) : ambientKpa;
    return crankCylinder({
      ...engine,
      intakeClosesDegAbdc: engine.intakeClosesDegAbdc + at('intake-closing', 0),
      clearanceCm3: clearance + at('adapter-volume', 0),
      chargeKpa: airKpa * at('throttle', 1),
      ambientKpa: airKpa,
      rpm: at('cranking-speed', rpm),
      leakMm2: at('leak', SOUND_LEAK_MM2),
      crank: usualCrank(engine, STRENGTH),
    }).peakKpa;
  };
  const usual = peak(null);
  const [from, to] = RANGE[factor];
  return Array.from({ length: POINTS }, (_, i) => {
    const x = from + ((to - from) * i) / (POINTS - 1);
    const share = peak(x) / usual;
    const { expectedKpa, lowKpa, highKpa } = level;
    return { x, expectedKpa: expectedKpa * share, lowKpa: lowKpa * share, highKpa: highKpa * share };
  });
}
