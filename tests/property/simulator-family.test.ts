/** The alternative models of the simulator obey the laws that bound them all. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crankCylinder } from '../../simulator/crank.ts';
import { startCranking } from '../../simulator/cranking.ts';
import { cylinderModel, STATE } from '../../simulator/cylinder.ts';
import { healthOf, type SimulatedEngine } from '../../simulator/engine.ts';
import { drawFamilyEngine } from '../../simulator/family/draw.ts';
import { MODEL_NAMES } from '../../simulator/family/models.ts';
import { crevicePa, gapShares, ringFlow } from '../../simulator/family/ring-pack.ts';
import { GAS_CONSTANT, holeFlow, internalEnergy } from '../../simulator/gas.ts';
import type { Rig } from '../../simulator/rig.ts';

const AIR = { ambientKpa: 101.325, ambientKelvin: 293 };
const models = fc.constantFrom(...MODEL_NAMES);
const seeds = fc.integer({ min: 1, max: 1e6 });
const hoses = fc.constantFrom('open' as const, 'check-valve' as const);
const family = fc.record({ model: models, seed: seeds, hose: hoses });

const peaksKpa = (engine: SimulatedEngine, rig: Rig): readonly number[] =>
  crankCylinder({ engine, cylinder: 1, rig, strokes: 4, tolerance: 1e-5 }).truth.peaksKpa;

describe('every model of the family', () => {
  it('conserves mass and energy', () => {
    fc.assert(
      fc.property(family, ({ model, seed, hose }) => {
        const { engine, rig } = drawFamilyEngine(model, seed, hose);
        const health = healthOf(engine, 1);
        const volume = cylinderModel({ engine, health, rig, condition: 'dry', ...AIR });
        const gasKg = (y: Float64Array): number =>
          y[STATE.mass]! +
          (rig.hose === 'open'
            ? (volume.pressurePa(y) * rig.hoseCm3 * 1e-6) / (GAS_CONSTANT * AIR.ambientKelvin)
            : y[STATE.hoseMass]!);
        const cranking = startCranking({
          engine,
          cylinder: 1,
          condition: 'dry',
          rig,
          startDeg: 200,
          startS: 0,
          ...AIR,
          tolerance: 1e-7,
        });
        const before = Float64Array.from(cranking.state);
        cranking.advanceTo(0.8);
        const after = cranking.state;
        const gained = gasKg(after) - gasKg(before);
        expect(Math.abs(gained - after[STATE.massIn]!)).toBeLessThan(1e-4 * gasKg(before));
        const heat = (y: Float64Array): number => y[STATE.mass]! * internalEnergy(y[STATE.kelvin]!);
        const heated = heat(after) - heat(before);
        expect(Math.abs(heated - after[STATE.energyIn]!)).toBeLessThan(2e-4 * heat(before));
      }),
      { numRuns: 50 },
    );
  });

  it('peaks below isentropic compression from the closing of the ports', () => {
    fc.assert(
      fc.property(family, ({ model, seed, hose }) => {
        const { engine, rig } = drawFamilyEngine(model, seed, hose);
        const [, ...settled] = peaksKpa(engine, rig);
        const { volumeM3 } = cylinderModel({
          engine,
          health: healthOf(engine, 1),
          rig,
          condition: 'dry',
          ...AIR,
        });
        const ratio = volumeM3(-Math.PI) / volumeM3(0);
        for (const peak of settled) expect(peak).toBeLessThan(AIR.ambientKpa * (ratio ** 1.4 - 1));
      }),
      { numRuns: 50 },
    );
  });

  it('gives the same engine for the same seed', () => {
    fc.assert(
      fc.property(family, ({ model, seed, hose }) => {
        const [a, b] = [drawFamilyEngine(model, seed, hose), drawFamilyEngine(model, seed, hose)];
        expect(a).toEqual(b);
      }),
    );
  });
});

describe('one mechanism at a time', () => {
  const base = (seed: number) => drawFamilyEngine('default', seed, 'open');
  const last = (engine: SimulatedEngine, rig: Rig): number => peaksKpa(engine, rig).at(-1)!;
  const lowers = (change: (engine: SimulatedEngine, by: number) => SimulatedEngine): void =>
    fc.assert(
      fc.property(seeds, fc.double({ min: 0, max: 1, noNaN: true }), (seed, by) => {
        const { engine, rig } = base(seed);
        expect(last(change(engine, by), rig)).toBeLessThan(last(engine, rig));
      }),
      { numRuns: 20 },
    );

  it('later intake closing lowers the pressure', () => {
    lowers((engine, by) => ({
      ...engine,
      intakeClosesDegAbdc: engine.intakeClosesDegAbdc + 1 + 15 * by,
    }));
  });

  it('a compression release lowers the pressure', () => {
    lowers((engine, by) => ({ ...engine, decompressor: { mm2: 2 + 10 * by, closesDegBtdc: 60 } }));
  });

  it('more heat to the walls lowers the pressure', () => {
    lowers((engine, by) => ({ ...engine, wallHeat: engine.wallHeat + 0.2 + by }));
  });

  it('a weaker starter lowers the pressure', () => {
    lowers((engine, by) => ({ ...engine, drive: { ...engine.drive, stallShare: 0.8 - 0.2 * by } }));
  });

  it('a film that builds with travel approaches the pressure of the built-up rings', () => {
    const { engine, rig } = base(3);
    const dry = {
      ...engine,
      filmTurns: 4,
      cylinders: new Map([[1, { ...healthOf(engine, 1), ringDryFactor: 3 }]]),
    };
    const climbing = crankCylinder({ engine: dry, cylinder: 1, rig, strokes: 12 }).truth.peaksKpa;
    for (let i = 2; i < climbing.length; i++) expect(climbing[i]!).toBeGreaterThan(climbing[i - 1]! * 0.998);
    expect(climbing.at(-1)!).toBeGreaterThan(1.01 * climbing[1]!);
  });
});

describe('two rings with a crevice between them', () => {
  const share = fc.double({ min: 0.5, max: 4, noNaN: true });

  it('have gaps in series that leak as much as the one orifice', () => {
    fc.assert(
      fc.property(share, (upperOverLower) => {
        const { upper, lower } = gapShares({ creviceCm3: 1, upperOverLower });
        expect(upper / lower).toBeCloseTo(upperOverLower, 9);
        expect(upper ** -2 + lower ** -2).toBeCloseTo(1, 9);
      }),
    );
  });

  it('pass the same flow when the crevice no longer fills, at most a fifth off one orifice', () => {
    fc.assert(
      fc.property(share, fc.double({ min: 1.5e5, max: 15e5, noNaN: true }), (upperOverLower, pa) => {
        const pack = { creviceCm3: 1, upperOverLower };
        let low = 101325;
        let high = pa;
        for (let i = 0; i < 60; i++) {
          const middle = (low + high) / 2;
          const { inKgPerS, outKgPerS } = ringFlow(pack, 1e-6, pa, 340, middle, 340, 101325);
          if (inKgPerS > outKgPerS) low = middle;
          else high = middle;
        }
        const { outKgPerS } = ringFlow(pack, 1e-6, pa, 340, low, 340, 101325);
        const one = holeFlow(1e-6, pa, 340, 101325, 340);
        expect(Math.abs(outKgPerS / one - 1)).toBeLessThan(0.2);
      }),
    );
  });

  it('hold ambient pressure at rest', () => {
    const kg = (101325 * 1e-6) / (GAS_CONSTANT * 340);
    expect(crevicePa({ creviceCm3: 1, upperOverLower: 1 }, kg, 340)).toBeCloseTo(101325, 6);
  });
});
