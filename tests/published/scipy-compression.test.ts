/**
 * One compression at constant speed, compared with an independent model solved by SciPy's solve_ivp
 * (`tests/published/scipy/compression.py`).
 */
import { describe, expect, it } from 'vitest';
import { cylinderModel, STATE } from '../../simulator/cylinder.ts';
import { makeEngine, SOUND_CYLINDER } from '../../simulator/engine.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';
import { createStepper } from '../../simulator/runge-kutta.ts';
import { scipyAnswers } from '../support/scipy-answers.ts';

interface Case {
  readonly leakMm2: number;
  readonly wallHeat: number;
  readonly rpm: number;
  readonly peakKpa: number;
  readonly peakDeg: number;
  readonly massShare: number;
  readonly kelvin: number;
}

const { frozen, live } = scipyAnswers<Record<string, Case>>('compression');
const DEGREE = Math.PI / 180;
const CHARGE_KELVIN = 293;

/** The simulator's equations with the crank at constant speed. */
function compress({ leakMm2, wallHeat, rpm }: Case) {
  const engine = makeEngine({
    layout: { kind: 'inline', rows: [[1]] },
    boreMm: 84,
    strokeMm: 86,
    rodMm: 143.5,
    compressionRatio: 9.2,
    intakeClosesDegAbdc: 0,
    wallKelvin: 340,
    wallHeat,
  });
  const model = cylinderModel({
    engine,
    health: { ...SOUND_CYLINDER, ringMm2: leakMm2, ringDryFactor: 1 },
    rig: { ...OPEN_RIG, adapterCm3: 0, hoseCm3: 1e-6 },
    condition: 'dry',
    ambientKpa: 101.325,
    ambientKelvin: CHARGE_KELVIN,
  });
  const start = model.atRest(-180 * DEGREE + 1e-9);
  start[STATE.speed] = (rpm * Math.PI) / 30;
  // A resting charge is as warm as its walls; this one was just drawn in.
  start[STATE.mass] = (start[STATE.mass]! * start[STATE.kelvin]!) / CHARGE_KELVIN;
  start[STATE.kelvin] = CHARGE_KELVIN;
  const atConstantSpeed = (y: Float64Array, dy: Float64Array): void => {
    model.derivative(y, dy);
    dy[STATE.speed] = 0;
  };
  const allowed = new Float64Array(start.length).fill(Number.POSITIVE_INFINITY);
  allowed[STATE.mass] = 1e-13;
  allowed[STATE.kelvin] = 1e-7;
  const stepper = createStepper(start, atConstantSpeed, 1e-9, allowed);
  const { y } = stepper;
  let top = { kpa: 0, deg: 0, massKg: 0, kelvin: 0 };
  while (y[STATE.angle]! < 30 * DEGREE) {
    stepper.step(2e-5);
    const kpa = model.pressurePa(y) / 1000;
    if (kpa > top.kpa)
      top = { kpa, deg: y[STATE.angle]! / DEGREE, massKg: y[STATE.mass]!, kelvin: y[STATE.kelvin]! };
  }
  return { ...top, massShare: top.massKg / start[STATE.mass]! };
}

describe.each(Object.entries(frozen))('%s', (name, theirs) => {
  it('ends at the pressure, place, mass and temperature that SciPy finds', () => {
    const ours = compress(theirs);
    expect(Math.abs(ours.kpa / theirs.peakKpa - 1)).toBeLessThan(1e-4);
    expect(Math.abs(ours.deg - theirs.peakDeg)).toBeLessThan(0.05);
    expect(Math.abs(ours.massShare - theirs.massShare)).toBeLessThan(1e-4);
    expect(Math.abs(ours.kelvin / theirs.kelvin - 1)).toBeLessThan(1e-4);
  });

  it.runIf(live)('agrees with the installed SciPy', () => {
    const now = live![name]!;
    expect(now.peakKpa / theirs.peakKpa).toBeCloseTo(1, 6);
    expect(now.massShare / theirs.massShare).toBeCloseTo(1, 6);
    expect(now.kelvin / theirs.kelvin).toBeCloseTo(1, 6);
    expect(now.peakDeg).toBeCloseTo(theirs.peakDeg, 2);
  });
});
