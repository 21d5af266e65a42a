/**
 * Reading of a differential (leak-down) tester for a given leak. Air passes the tester's master orifice into the
 * cylinder and leaves through the leak, in series, as in FAA AC 43.13-1B, para 8-14. Derived, not measured.
 */

import { SEA_LEVEL_KPA, toKpa } from '../units.ts';
import { nozzleFlow } from './nozzle-flow.ts';

/** Supply pressure of AC 43.13-1B, para 8-14: 80 psi gauge. */
const SUPPLY_KPA = toKpa(80, 'psi');

/** Diameters of the master orifice by bore: FAA safety notice of November 2011 on AC 43.13-1B, para 8-14. */
const ORIFICE = { smallMm: 1.016, largeMm: 1.524, largeFromBoreMm: 127 } as const;

/** Area of the master orifice for a bore, mm2: 0.040 in diameter below 5 in, 0.060 in from there up. */
export function masterOrificeMm2(boreMm: number): number {
  const diameterMm = boreMm < ORIFICE.largeFromBoreMm ? ORIFICE.smallMm : ORIFICE.largeMm;
  return (Math.PI / 4) * diameterMm ** 2;
}

/**
 * Share of the supply pressure that the cylinder does not hold, per cent: 25 is a reading of 60/80. Orifice and leak
 * have the same discharge coefficient and temperature, and the piston is at rest.
 */
export function leakDownPercent(leakMm2: number, boreMm: number, ambientKpa: number = SEA_LEVEL_KPA): number {
  let low = 0;
  let high = SUPPLY_KPA;
  // The smaller the leak, the higher the pressure held.
  for (let i = 0; i < 60; i++) {
    const heldKpa = (low + high) / 2;
    if (leakHolding(heldKpa, boreMm, ambientKpa) > leakMm2) low = heldKpa;
    else high = heldKpa;
  }
  return 100 * (1 - low / SUPPLY_KPA);
}

/** The leak, mm2, for which the tester shows `percent` (above 0, below 100). */
export function leakOfLeakDown(percent: number, boreMm: number, ambientKpa: number = SEA_LEVEL_KPA): number {
  return leakHolding(SUPPLY_KPA * (1 - percent / 100), boreMm, ambientKpa);
}

/** The leak, mm2, whose outflow at `heldKpa` gauge equals the inflow through the orifice. */
function leakHolding(heldKpa: number, boreMm: number, ambientKpa: number): number {
  const supplyKpa = SUPPLY_KPA + ambientKpa;
  const cylinderKpa = heldKpa + ambientKpa;
  const inflow = masterOrificeMm2(boreMm) * supplyKpa * nozzleFlow(cylinderKpa / supplyKpa);
  return inflow / (cylinderKpa * nozzleFlow(ambientKpa / cylinderKpa));
}
