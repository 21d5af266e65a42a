/** One compression of the simulator, closed from bottom dead centre on: no losses unless given. */
import { startCranking } from '../../simulator/cranking.ts';
import { makeEngine, SOUND_CYLINDER } from '../../simulator/engine.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';

export interface ClosedCylinder {
  readonly compressionRatio: number;
  /** Initial temperature of the charge, and of the walls unless `wallKelvin` is given. */
  readonly kelvin: number;
  readonly wallKelvin?: number;
  readonly ambientKpa?: number;
  /** Heat loss to the walls relative to Woschni's law. Default 0. */
  readonly wallHeat?: number;
  /** Default 0. */
  readonly ringMm2?: number;
}

export interface Compression {
  /** Absolute pressure at the peak over that at the start. */
  readonly pressureRatio: number;
  /** Absolute kPa. */
  readonly peakKpa: number;
  /** ln pressure ratio over ln compression ratio. */
  readonly exponent: number;
  /** Time of the peak before top dead centre, s. */
  readonly leadS: number;
}

/** Compresses the charge once; `ambientKpa` is 100 by default. */
export function closedCylinder(spec: ClosedCylinder): Compression {
  const ambientKpa = spec.ambientKpa ?? 100;
  const engine = makeEngine({
    layout: { kind: 'inline', rows: [[1]] },
    compressionRatio: spec.compressionRatio,
    intakeClosesDegAbdc: 0,
    wallKelvin: spec.wallKelvin ?? spec.kelvin,
    wallHeat: spec.wallHeat ?? 0,
    allCylinders: { ...SOUND_CYLINDER, ringMm2: spec.ringMm2 ?? 0, ringDryFactor: 1 },
  });
  const cranking = startCranking({
    engine,
    cylinder: 1,
    condition: 'dry',
    rig: { ...OPEN_RIG, adapterCm3: 0, hoseCm3: 1e-6 },
    startDeg: -179.999,
    startS: 0,
    ambientKpa,
    ambientKelvin: spec.kelvin,
    tolerance: 1e-8,
  });
  while (cranking.angleDeg < 40 && cranking.timeS < 5) cranking.advanceTo(cranking.timeS + 0.002);
  const { timeS, value } = cranking.cylinderPa.largest(0, cranking.timeS);
  const pressureRatio = value / (1000 * ambientKpa);
  return {
    pressureRatio,
    peakKpa: value / 1000,
    exponent: Math.log(pressureRatio) / Math.log(spec.compressionRatio),
    leadS: cranking.tdcS[0]! - timeS,
  };
}
