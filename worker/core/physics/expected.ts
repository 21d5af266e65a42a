import type { EngineGeometry } from '../engine.ts';
import type { Hose } from '../trace.ts';
import { SEA_LEVEL_KPA } from '../units.ts';

/**
 * Pressure of the standard atmosphere, kPa, at a geopotential altitude in metres. US Standard Atmosphere 1976, lowest
 * layer: up to 11 000 m.
 */
export function standardAtmosphereKpa(altitudeM: number): number {
  return SEA_LEVEL_KPA * (1 - (0.0065 * altitudeM) / 288.15) ** 5.255876;
}

/**
 * Reading that a vented gauge would show at sea level. Both the charge and the air around the gauge thin in
 * proportion, so the reading scales with the barometer.
 */
export function correctToSeaLevel(gaugeKpa: number, ambientKpa: number): number {
  return (gaugeKpa * SEA_LEVEL_KPA) / ambientKpa;
}

/** Expected cranking pressure of a sound cylinder, gauge kPa, and the range that covers 95 of 100 sound engines. */
export interface ExpectedPressure {
  readonly expectedKpa: number;
  readonly lowKpa: number;
  readonly highKpa: number;
  /** Volume at intake closing over volume at top dead centre. */
  readonly effectiveRatio: number;
}

/**
 * Polytropic exponent of a cranked charge, including leakage and heat loss, at 240 rpm with 50 cm3 of clearance; and
 * its standard deviation between sound engines. Below the 1.25 to 1.35 of a motored engine at speed (Heywood 1988,
 * sec. 9.2.2, recalled): cranking is slow, so more heat and gas are lost on the way up.
 */
const EXPONENT = { mean: 1.24, sd: 0.031 } as const;

/**
 * Powers of the level in cranking speed and clearance volume. Fitted to the sound engines of `npm run judgement --
 * --fit`; an independent cranking model gives 0.2 and 0.15.
 */
export const SPEED = { power: 0.2, rpm: 240, least: 180, most: 320 } as const;
const CLEARANCE = { power: 0.18, cm3: 50 } as const;
/** Loss to the volume of an open hose, natural logarithm. Same source. */
export const OPEN_HOSE_LOSS = 0.06;

/**
 * Defaults where the engine card gives nothing: the middle of the ordinary range, and the standard deviation that
 * each unknown adds to the exponent.
 */
const USUAL = { intakeClosesDegAbdc: 55, rodToStroke: 1.65 } as const;
const UNKNOWN_SD = { closing: 0.02, barometer: 0.02, clearance: 0.015 } as const;

/**
 * Cylinder volume over clearance volume at `crankDeg` from top dead centre. Slider-crank, Heywood 1988, eq. 2.4 to
 * 2.6.
 */
export function volumeRatio(crankDeg: number, compressionRatio: number, rodToStroke: number): number {
  const angle = (crankDeg * Math.PI) / 180;
  const rodToCrank = 2 * rodToStroke;
  const travel = 1 - Math.cos(angle) + rodToCrank - Math.sqrt(rodToCrank ** 2 - Math.sin(angle) ** 2);
  return 1 + ((compressionRatio - 1) * travel) / 2;
}

/** Cranking conditions. Any may be missing. */
export interface Cranked {
  /** Barometric pressure at the engine, kPa. */
  readonly ambientKpa?: number | undefined;
  /** Turns a minute. */
  readonly rpm?: number | undefined;
  readonly hose?: Hose | undefined;
}

/**
 * Expected cranking pressure from geometry. `null` without a compression ratio. Other unknowns (intake closing, rod,
 * bore, barometer) widen the range.
 */
export function expectedCranking(geometry: EngineGeometry, cranked: Cranked = {}): ExpectedPressure | null {
  const { boreMm, compressionRatio, intakeClosesDegAbdc, rodMm, strokeMm } = geometry;
  if (compressionRatio === undefined || !(compressionRatio > 1)) return null;
  const rodToStroke = rodMm !== undefined && strokeMm !== undefined ? rodMm / strokeMm : USUAL.rodToStroke;
  const closing = intakeClosesDegAbdc ?? USUAL.intakeClosesDegAbdc;
  const effectiveRatio = volumeRatio(180 - closing, compressionRatio, rodToStroke);
  const clearanceCm3 =
    boreMm === undefined || strokeMm === undefined
      ? null
      : (Math.PI * boreMm ** 2 * strokeMm) / 4000 / (compressionRatio - 1);
  const sd = Math.hypot(
    EXPONENT.sd,
    intakeClosesDegAbdc === undefined ? UNKNOWN_SD.closing : 0,
    cranked.ambientKpa === undefined ? UNKNOWN_SD.barometer : 0,
    clearanceCm3 === null ? UNKNOWN_SD.clearance : 0,
  );
  // No correction below the speed of a healthy starter: slow cranking is a reason for a low reading, not an excuse.
  const rpm = Math.min(SPEED.most, Math.max(SPEED.least, cranked.rpm ?? SPEED.rpm));
  const share =
    (rpm / SPEED.rpm) ** SPEED.power *
    ((clearanceCm3 ?? CLEARANCE.cm3) / CLEARANCE.cm3) ** CLEARANCE.power *
    Math.exp(cranked.hose === 'open' ? -OPEN_HOSE_LOSS : 0);
  const at = (exponent: number): number =>
    share * (cranked.ambientKpa ?? SEA_LEVEL_KPA) * (effectiveRatio ** exponent - 1);
  return {
    expectedKpa: at(EXPONENT.mean),
    lowKpa: at(EXPONENT.mean - 2 * sd),
    highKpa: at(EXPONENT.mean + 2 * sd),
    effectiveRatio,
  };
}
