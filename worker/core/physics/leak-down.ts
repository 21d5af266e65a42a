/**
 * What a leak would show on a differential (leak-down) tester: the air goes through the tester's master orifice into the
 * cylinder and out through the leak, one after the other, as in FAA AC 43.13-1B, para 8-14. A derived figure, no measurement.
 */

import { SEA_LEVEL_KPA, toKpa } from '../units.ts';
import { nozzleFlow } from './nozzle-flow.ts';

/** Supply of AC 43.13-1B, para 8-14: 80 psi gauge. */
const SUPPLY_KPA = toKpa(80, 'psi');

/** Master orifices, by bore: FAA safety notice of November 2011 on AC 43.13-1B, para 8-14. */
const ORIFICE = { smallMm: 1.016, largeMm: 1.524, largeFromBoreMm: 127 } as const;

/** Area of the master orifice for a bore, mm2: 0.040 in diameter below 5 in, 0.060 in from there up. */
export function masterOrificeMm2(boreMm: number): number {
  const diameterMm = boreMm < ORIFICE.largeFromBoreMm ? ORIFICE.smallMm : ORIFICE.largeMm;
  return (Math.PI / 4) * diameterMm ** 2;
}

/**
 * Share of the supply pressure that the cylinder does not hold, in per cent: 25 is a reading of 60/80. `leakMm2` counts as the
 * orifice does, with the same discharge coefficient. Both are at one temperature and the piston stands still.
 */
export function leakDownPercent(leakMm2: number, boreMm: number, ambientKpa: number = SEA_LEVEL_KPA): number {
  let low = 0;
  let high = SUPPLY_KPA;
  // the smaller the leak, the higher the pressure that it leaves
  for (let i = 0; i < 60; i++) {
    const heldKpa = (low + high) / 2;
    if (leakHolding(heldKpa, boreMm, ambientKpa) > leakMm2) low = heldKpa;
    else high = heldKpa;
  }
  return 100 * (1 - low / SUPPLY_KPA);
}

/** The leak, mm2, that shows `percent` (above 0, below 100) on the tester. */
export function leakOfLeakDown(percent: number, boreMm: number, ambientKpa: number = SEA_LEVEL_KPA): number {
  return leakHolding(SUPPLY_KPA * (1 - percent / 100), boreMm, ambientKpa);
}

/** The leak, mm2, through which as much flows out of a cylinder at `heldKpa` gauge as comes in through the orifice. */
function leakHolding(heldKpa: number, boreMm: number, ambientKpa: number): number {
  const supplyKpa = SUPPLY_KPA + ambientKpa;
  const cylinderKpa = heldKpa + ambientKpa;
  const inflow = masterOrificeMm2(boreMm) * supplyKpa * nozzleFlow(cylinderKpa / supplyKpa);
  return inflow / (cylinderKpa * nozzleFlow(ambientKpa / cylinderKpa));
}
