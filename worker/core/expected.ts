import type { EngineGeometry } from './engine.ts';

/** Standard sea-level pressure, kPa (US Standard Atmosphere 1976). */
export const SEA_LEVEL_KPA = 101.325;

/**
 * Standard pressure at an altitude in metres (geopotential), kPa. US Standard Atmosphere 1976, lowest layer: up to
 * 11 000 m.
 */
export function standardAtmosphereKpa(altitudeM: number): number {
  return SEA_LEVEL_KPA * (1 - (0.0065 * altitudeM) / 288.15) ** 5.255876;
}

/**
 * What a gauge vented to the air would have read at sea level. Both the charge and the air around the gauge thin in
 * proportion, so the reading scales with the barometer.
 */
export function correctToSeaLevel(gaugeKpa: number, ambientKpa: number): number {
  return (gaugeKpa * SEA_LEVEL_KPA) / ambientKpa;
}

/** What a sound cylinder should read while cranking, gauge kPa, with the range that covers 95 of 100 sound engines. */
export interface ExpectedPressure {
  readonly expectedKpa: number;
  readonly lowKpa: number;
  readonly highKpa: number;
  /** Volume when the intake closes over volume at top dead centre. */
  readonly effectiveRatio: number;
}

/**
 * Exponent of a cranked, leaking, heat-losing charge and its standard deviation between sound engines, by fuel. Below
 * the 1.25 to 1.35 of a motored engine at speed (Heywood 1988, sec. 9.2.2, recalled): cranking is slow, so more heat and gas
 * are lost on the way up.
 */
const EXPONENT = { mean: 1.235, sd: 0.028 } as const;

/** Used where the card does not say: middle of the ordinary range, and what not knowing costs in the exponent. */
const USUAL = {
  intakeClosesDegAbdc: 55,
  rodToStroke: 1.65,
  unknownClosingSd: 0.02,
  unknownBarometerSd: 0.01,
} as const;

/** Cylinder volume over clearance volume, `crankDeg` from top dead centre. Slider-crank, Heywood 1988, eq. 2.4 to 2.6. */
export function volumeRatio(crankDeg: number, compressionRatio: number, rodToStroke: number): number {
  const angle = (crankDeg * Math.PI) / 180;
  const rodToCrank = 2 * rodToStroke;
  const travel = 1 - Math.cos(angle) + rodToCrank - Math.sqrt(rodToCrank ** 2 - Math.sin(angle) ** 2);
  return 1 + ((compressionRatio - 1) * travel) / 2;
}

/**
 * Expected cranking pressure from geometry. `null` without a compression ratio. An unknown intake closing, rod or
 * barometer widens the range instead of stopping the estimate.
 */
export function expectedCranking(geometry: EngineGeometry, ambientKpa?: number): ExpectedPressure | null {
  const { compressionRatio, intakeClosesDegAbdc, rodMm, strokeMm } = geometry;
  if (compressionRatio === undefined || !(compressionRatio > 1)) return null;
  const rodToStroke = rodMm !== undefined && strokeMm !== undefined ? rodMm / strokeMm : USUAL.rodToStroke;
  const closing = intakeClosesDegAbdc ?? USUAL.intakeClosesDegAbdc;
  const effectiveRatio = volumeRatio(180 - closing, compressionRatio, rodToStroke);
  const sd = Math.hypot(
    EXPONENT.sd,
    intakeClosesDegAbdc === undefined ? USUAL.unknownClosingSd : 0,
    ambientKpa === undefined ? USUAL.unknownBarometerSd : 0,
  );
  const at = (exponent: number): number => (ambientKpa ?? SEA_LEVEL_KPA) * (effectiveRatio ** exponent - 1);
  return {
    expectedKpa: at(EXPONENT.mean),
    lowKpa: at(EXPONENT.mean - 2 * sd),
    highKpa: at(EXPONENT.mean + 2 * sd),
    effectiveRatio,
  };
}
