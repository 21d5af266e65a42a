import type { EngineGeometry } from '../engine.ts';
import { SEA_LEVEL_KPA } from '../units.ts';
import { crankCylinder } from './cranking-model.ts';
import { type Cranked, expectedCranking } from './expected.ts';
import { clearanceCm3, SOUND_LEAK_MM2, usualCrank, usualGeometry } from './leak-table.ts';
import { standardAtmosphereKpa } from './standard-atmosphere.ts';

/** Factor to vary, and the unit of `x`. */
export type WhatIfFactor =
  /** Metres above sea level, standard atmosphere. */
  | 'altitude'
  /** Turns a minute. */
  | 'cranking-speed'
  /** Intake pressure over barometric pressure; 1 with the throttle fully open. */
  | 'throttle'
  /** Volume added by the gauge's adapter, cm3. */
  | 'adapter-volume'
  /**
   * Intake closing later (above 0) or earlier (below 0) than on the engine card, crank degrees: cam timing, worn cam.
   */
  | 'intake-closing'
  /** Effective leak area, mm2. */
  | 'leak';

/** Range of `x` for each factor. */
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
 * Crank strength (`leak-table.ts`): a starter that is strong for the engine. With a weaker one the pressure falls
 * faster as cranking slows.
 */
const STRENGTH = 2;

/** One point of the curve. */
export interface WhatIfPoint {
  readonly x: number;
  /** Gauge kPa, and the range that covers 95 of 100 sound engines. */
  readonly expectedKpa: number;
  readonly lowKpa: number;
  readonly highKpa: number;
}

/**
 * Expected pressure of a sound cylinder against one factor, 13 points ascending in `x`. The level is from
 * `expectedCranking`, its relative change from the cranking model. `[]` when ratio, bore or stroke are not known.
 */
export function whatIf(geometry: EngineGeometry, conditions: Cranked, factor: WhatIfFactor): WhatIfPoint[] {
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
