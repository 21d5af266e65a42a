/** Air pressure by altitude, and the correction of a reading to sea level. */
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
