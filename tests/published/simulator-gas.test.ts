/** The simulator's gas and geometry compared with outside figures. */
import { describe, expect, it } from 'vitest';
import { crankCylinder } from '../../simulator/crank.ts';
import { cylinderModel } from '../../simulator/cylinder.ts';
import { makeEngine, SOUND_CYLINDER } from '../../simulator/engine.ts';
import { CHOKED, CRITICAL_RATIO, flowFunction, holeFlow } from '../../simulator/gas.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';

const TIGHT = { ...OPEN_RIG, adapterCm3: 0, hoseCm3: 1e-6 };

/** Peak over start pressure (absolute) of a cylinder without leak and heat loss, closed from bottom dead centre on. */
function closedRatio(compressionRatio: number, kelvin: number): number {
  const engine = makeEngine({
    layout: { kind: 'inline', rows: [[1, 2, 3, 4]] },
    compressionRatio,
    intakeClosesDegAbdc: 0,
    wallKelvin: kelvin,
    wallHeat: 0,
    allCylinders: { ...SOUND_CYLINDER, ringMm2: 0 },
  });
  const { truth } = crankCylinder({
    engine,
    cylinder: 1,
    rig: TIGHT,
    startDeg: -179.999,
    strokes: 1,
    ambientKpa: 100,
    ambientKelvin: kelvin,
    tolerance: 1e-8,
  });
  return (truth.peaksKpa[0]! + 100) / 100;
}

describe('a closed cylinder without losses', () => {
  // Moran & Shapiro, Fundamentals of Engineering Thermodynamics, Example 9.1, air tables (transcribed): 17.95 bar from 1 bar.
  it('reaches the textbook pressure at a ratio of 8 from 300 K', () => {
    expect(closedRatio(8, 300) / 17.95).toBeCloseTo(1, 2);
  });

  // Cantera 3.2.0, frozen air from 293.15 K (computed).
  it.each([
    [9, 21.107],
    [10, 24.373],
    [17, 50.04],
  ])('agrees with Cantera at a ratio of %d', (ratio, expected) => {
    expect(Math.abs(closedRatio(ratio, 293.15) / expected - 1)).toBeLessThan(0.004);
  });
});

describe('flow through a hole', () => {
  // Heywood, Internal Combustion Engine Fundamentals, App. C (recalled); the figures computed from its formulas.
  it('chokes at the critical ratio of 1.4', () => {
    expect(CRITICAL_RATIO).toBeCloseTo(0.528282, 6);
    expect(CHOKED).toBeCloseTo(0.684731, 6);
    expect(flowFunction(CRITICAL_RATIO + 1e-9)).toBeCloseTo(CHOKED, 6);
    expect(flowFunction(0.1)).toBe(CHOKED);
  });

  // Balmer, Modern Engineering Thermodynamics, Example 16.6 (transcribed): 1.00 MPa chokes at 0.528 MPa in the throat.
  it('puts the throat of a choked nozzle where the textbook does', () => {
    expect(CRITICAL_RATIO * 1).toBeCloseTo(0.528, 3);
  });

  // 1 mm2 at 10 bar, 600 K: 1.650 g/s (computed from Heywood, App. C).
  it('lets 1.650 g/s through 1 mm2', () => {
    expect(holeFlow(1e-6, 1e6, 600, 1e5, 300) * 1000).toBeCloseTo(1.65, 3);
  });

  it('falls to zero at equal pressures, without a jump', () => {
    expect(flowFunction(1)).toBe(0);
    expect(flowFunction(0.998 + 1e-9)).toBeCloseTo(flowFunction(0.998 - 1e-9), 6);
    expect(holeFlow(1e-6, 2e5, 300, 1e5, 400)).toBe(-holeFlow(1e-6, 1e5, 400, 2e5, 300));
  });
});

describe('slider-crank', () => {
  // Heywood eq. 2.4 to 2.6 (recalled), computed: bore = stroke = 86 mm, rod 143.5 mm, ratio 10; volume over clearance.
  it.each([
    [0, 1],
    [30, 1.772396],
    [60, 3.764475],
    [90, 6.190071],
    [120, 8.264475],
    [150, 9.566625],
    [180, 10],
  ])('at %d degrees the volume is %d clearances', (degrees, expected) => {
    const clearanceM3 = ((Math.PI / 4) * 86 ** 3 * 1e-9) / 9;
    const { volumeM3 } = cylinderModel({
      engine: makeEngine({
        layout: { kind: 'inline', rows: [[1, 2, 3, 4]] },
        boreMm: 86,
        strokeMm: 86,
        rodMm: 143.5,
        compressionRatio: 10,
      }),
      health: SOUND_CYLINDER,
      rig: TIGHT,
      condition: 'dry',
      ambientKpa: 100,
      ambientKelvin: 293,
    });
    expect(volumeM3((degrees * Math.PI) / 180) / clearanceM3).toBeCloseTo(expected, 6);
  });
});
