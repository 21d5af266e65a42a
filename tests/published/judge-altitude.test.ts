/** Thin air: the barometric correction and the standard atmosphere against published figures. */
import { describe, expect, it } from 'vitest';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { volumeRatio } from '../../worker/core/physics/expected.ts';
import { correctToSeaLevel, standardAtmosphereKpa } from '../../worker/core/physics/standard-atmosphere.ts';
import { fromKpa, toKpa } from '../../worker/core/units.ts';
import { dialPsi, engineOf } from '../support/judge-readings.ts';

describe('standard atmosphere (US Standard Atmosphere 1976)', () => {
  // Geopotential altitudes; computed from the standard's formula, so this checks the arithmetic.
  it.each([
    [500, 95.4608],
    [1000, 89.8746],
    [1500, 84.556],
    [2000, 79.4952],
    [3000, 70.1085],
  ])('%d m of geopotential altitude: %d kPa', (altitudeM, kpa) => {
    expect(standardAtmosphereKpa(altitudeM)).toBeCloseTo(kpa, 4);
  });

  // Its constants: g0 9.80665 m/s2, M 28.9644 kg/kmol, R 8314.32 J/(kmol K), L 0.0065 K/m, T0 288.15 K, p0 101.325 kPa.
  it('starts at p0 and falls with the power that its constants make', () => {
    expect(standardAtmosphereKpa(0)).toBe(101.325);
    const power = Math.log(standardAtmosphereKpa(3000) / 101.325) / Math.log(1 - (0.0065 * 3000) / 288.15);
    expect(power).toBeCloseTo((9.80665 * 28.9644) / (8314.32 * 0.0065), 6);
  });

  // Table I of the standard, geometric altitude (transcribed). Geopotential = r h / (r + h), r = 6 356 766 m.
  it.each([
    [1000, 89.876],
    [1500, 84.559],
    [2000, 79.501],
    [4000, 61.66],
  ])('Table I at %d m: %d kPa', (geometricM, kpa) => {
    const geopotentialM = (6_356_766 * geometricM) / (6_356_766 + geometricM);
    expect(Math.abs(standardAtmosphereKpa(geopotentialM) / kpa - 1)).toBeLessThan(3e-5);
  });
});

describe('a vented gauge in thin air', () => {
  // Computed: 180 psig at sea level reads 149.77 psig at 5000 ft (1524 m).
  it('brings 149.77 psig at 5000 ft back to 180', () => {
    const ambientKpa = standardAtmosphereKpa(5000 * 0.3048);
    expect(fromKpa(correctToSeaLevel(toKpa(149.77, 'psi'), ambientKpa), 'psi')).toBeCloseTo(180, 1);
  });

  // V. W. Page, Aviation Engines (1918): 14.7 x 4.5^1.3 = 104 psia, 89.3 psig at sea level; at 7000 ft with 11.25 psia, 79.4
  // psia, 68.15 psig. The page rounds 103.9 to 104 and then carries on, so its figures are good to 0.2 psi.
  it('agrees with the worked example of 1918', () => {
    const atAltitude = toKpa(68.15, 'psi');
    const barometer = toKpa(11.25, 'psi');
    const atSeaLevel = fromKpa(correctToSeaLevel(atAltitude, barometer), 'psi');
    expect(Math.abs(atSeaLevel - 89.3)).toBeLessThan(0.3);
  });

  it('is shown beside the measured figure and spares an engine that is low only because of the air', () => {
    const manual = { minKpa: toKpa(150, 'psi') };
    const engine = engineOf('inline-4', { manual });
    const figures = dialPsi(140, 141, 139, 140);
    const ambientKpa = standardAtmosphereKpa(1500);
    const uncorrected = judgeEngine(figures, engine, { code: 'manual' }, { ambientKpa: 101.325 });
    const corrected = judgeEngine(figures, engine, { code: 'manual' }, { ambientKpa });
    expect(uncorrected.verdict).toBe('fault');
    expect(corrected.verdict).toBe('sound');
    expect(corrected.cylinders[0]!.finalKpa).toBeCloseTo(toKpa(140, 'psi'), 9);
    expect(fromKpa(corrected.cylinders[0]!.seaLevelKpa!, 'psi')).toBeCloseTo((140 * 101.325) / ambientKpa, 6);
    expect(corrected.reasons.map((one) => one.code)).toContain('below-manual-min-as-measured');
  });
});

describe('slider-crank volume (Heywood 1988, eq. 2.4 to 2.6, recalled)', () => {
  // Bore = stroke = 86 mm, rod 143.5 mm, ratio 10.
  it.each([
    [30, 1.772396],
    [60, 3.764475],
    [90, 6.190071],
    [120, 8.264475],
    [150, 9.566625],
  ])('at %d degrees the volume is %d clearance volumes', (crankDeg, ratio) => {
    expect(volumeRatio(crankDeg, 10, 143.5 / 86)).toBeCloseTo(ratio, 6);
  });
});
