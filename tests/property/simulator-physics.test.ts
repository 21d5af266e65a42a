import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crankCylinder } from '../../simulator/crank.ts';
import { startCranking } from '../../simulator/cranking.ts';
import { cylinderModel, STATE } from '../../simulator/cylinder.ts';
import { healthOf, makeEngine, type SimulatedEngine } from '../../simulator/engine.ts';
import { GAS_CONSTANT, heatCapacityV, internalEnergy } from '../../simulator/gas.ts';
import { CHECK_VALVE_RIG, OPEN_RIG, type Rig } from '../../simulator/rig.ts';

const engines = fc
  .record({
    boreMm: fc.double({ min: 50, max: 105, noNaN: true }),
    strokeMm: fc.double({ min: 50, max: 100, noNaN: true }),
    compressionRatio: fc.double({ min: 7, max: 20, noNaN: true }),
    intakeClosesDegAbdc: fc.double({ min: 10, max: 80, noNaN: true }),
    throttleMm2: fc.oneof(fc.constant(null), fc.double({ min: 5, max: 100, noNaN: true })),
    ringMm2: fc.double({ min: 0, max: 4, noNaN: true }),
    valveMm2: fc.double({ min: 0, max: 4, noNaN: true }),
    cycle: fc.constantFrom<4 | 2>(4, 2),
  })
  .map(({ ringMm2, valveMm2, ...rest }) =>
    makeEngine({
      ...rest,
      rodMm: rest.strokeMm * 1.65,
      layout: { kind: 'inline', rows: [[1, 2]] },
      allCylinders: { ringMm2, valveMm2 },
    }),
  );
const rigs = fc.oneof(
  fc.double({ min: 1, max: 20, noNaN: true }).map((hoseCm3): Rig => ({ ...OPEN_RIG, hoseCm3 })),
  fc
    .record({
      hoseLeakMm2: fc.double({ min: 0, max: 0.5, noNaN: true }),
      checkBackMm2: fc.constantFrom(0, 0.05),
    })
    .map((leaks): Rig => ({ ...CHECK_VALVE_RIG, ...leaks })),
);

const AMBIENT = { ambientKpa: 101.325, ambientKelvin: 293 };

/** Mass of the gas in cylinder and hose, kg. */
function gasKg(model: ReturnType<typeof cylinderModel>, rig: Rig, y: Float64Array): number {
  const inHose =
    rig.hose === 'open'
      ? (model.pressurePa(y) * rig.hoseCm3 * 1e-6) / (GAS_CONSTANT * AMBIENT.ambientKelvin)
      : y[STATE.hoseMass]!;
  return y[STATE.mass]! + inHose;
}

const energyJ = (y: Float64Array) => y[STATE.mass]! * internalEnergy(y[STATE.kelvin]!);

function modelOf(engine: SimulatedEngine, rig: Rig) {
  return cylinderModel({ engine, health: healthOf(engine, 1), rig, condition: 'dry', ...AMBIENT });
}

describe('conservation', () => {
  it('gas and energy equal the initial amount plus the inflow', () => {
    fc.assert(
      fc.property(engines, rigs, fc.integer({ min: -360, max: 360 }), (engine, rig, startDeg) => {
        const model = modelOf(engine, rig);
        const cranking = startCranking({
          engine,
          cylinder: 1,
          condition: 'dry',
          rig,
          startDeg,
          startS: 0,
          ...AMBIENT,
          tolerance: 1e-7,
        });
        const before = Float64Array.from(cranking.state);
        cranking.advanceTo(0.8);
        const after = cranking.state;
        const gained = gasKg(model, rig, after) - gasKg(model, rig, before);
        expect(Math.abs(gained - after[STATE.massIn]!)).toBeLessThan(1e-4 * gasKg(model, rig, before));
        const heated = energyJ(after) - energyJ(before);
        expect(Math.abs(heated - after[STATE.energyIn]!)).toBeLessThan(2e-4 * energyJ(before));
      }),
      { numRuns: 40 },
    );
  });

  it('internal energy is the integral of the heat capacity', () => {
    for (const kelvin of [280, 400, 650, 900]) {
      const slope = (internalEnergy(kelvin + 0.01) - internalEnergy(kelvin - 0.01)) / 0.02;
      expect(slope).toBeCloseTo(heatCapacityV(kelvin), 3);
    }
  });
});

const final = (engine: SimulatedEngine, rig = CHECK_VALVE_RIG) =>
  crankCylinder({ engine, cylinder: 1, rig, strokes: 5, tolerance: 1e-5 }).truth.finalKpa!;

describe('known effects', () => {
  const size = fc.double({ min: 0.3, max: 3, noNaN: true });

  it('a larger leak never reads higher', () => {
    fc.assert(
      fc.property(size, size, (a, b) => {
        const [low, high] = [Math.min(a, b), Math.max(a, b) + 0.2];
        const at = (valveMm2: number) =>
          final(makeEngine({ layout: { kind: 'inline', rows: [[1]] }, allCylinders: { valveMm2 } }));
        expect(at(high)).toBeLessThan(at(low));
      }),
      { numRuns: 10 },
    );
  });

  it('thin air reads low in proportion, within 4 % for what cooling adds', () => {
    const engine = makeEngine({ layout: { kind: 'inline', rows: [[1, 2, 3, 4]] } });
    const at = (ambientKpa: number) =>
      crankCylinder({ engine, cylinder: 1, ambientKpa, rig: OPEN_RIG }).truth.finalKpa!;
    expect(Math.abs(at(80) / at(100) / 0.8 - 1)).toBeLessThan(0.04);
  });

  it('a larger adapter or open hose lowers the reading', () => {
    const engine = makeEngine({ layout: { kind: 'inline', rows: [[1, 2, 3, 4]] } });
    expect(final(engine, { ...CHECK_VALVE_RIG, adapterCm3: 8 })).toBeLessThan(final(engine) - 30);
    expect(final(engine, { ...OPEN_RIG, hoseCm3: 12 })).toBeLessThan(final(engine, OPEN_RIG) - 30);
  });
});
