import { describe, expect, it } from 'vitest';
import { crankCylinder as simulate } from '../../simulator/crank.ts';
import { makeEngine } from '../../simulator/engine.ts';
import { OPEN_RIG, rigFor } from '../../simulator/rig.ts';
import { crankEngine, usualGeometry } from '../../worker/core/physics/leak-table.ts';
import { type WhatIfFactor, whatIf } from '../../worker/core/physics/what-if.ts';

const layout = { kind: 'inline', rows: [[1, 2, 3, 4]] } as const;
const sound = makeEngine({ layout });
const card = {
  boreMm: sound.boreMm,
  strokeMm: sound.strokeMm,
  rodMm: sound.rodMm,
  compressionRatio: sound.compressionRatio,
  intakeClosesDegAbdc: sound.intakeClosesDegAbdc,
};
const geometry = usualGeometry(card, 4)!;
const peak = (leakMm2: number, rpm = 245, ambientKpa = 101, space = 0.03, strength = 2) =>
  crankEngine(geometry, ambientKpa, rpm, leakMm2, space, strength).peakKpa;

describe('the cranked cylinder', () => {
  it('falls with the leak as in the simulator, which has other equations', () => {
    const simulated = (leakMm2: number) =>
      simulate({
        engine: makeEngine({ layout, health: { 1: { valveMm2: leakMm2 - 0.5 } } }),
        cylinder: 1,
        strokes: 9,
        ambientKpa: 101,
      }).truth;
    const base = simulated(0.5);
    for (const leakMm2 of [1, 2, 4]) {
      const run = simulated(leakMm2);
      const share = run.peaksKpa.at(-1)! / base.peaksKpa.at(-1)!;
      expect(peak(leakMm2, run.rpm!) / peak(0.5, base.rpm!) / share).toBeGreaterThan(0.97);
      expect(peak(leakMm2, run.rpm!) / peak(0.5, base.rpm!) / share).toBeLessThan(1.08);
    }
  });

  it('reads nearly in proportion to the barometer', () => {
    expect(peak(0.5, 245, 80) / peak(0.5, 245, 100)).toBeCloseTo(0.8, 1.5);
  });

  it('falls with added space and rises with speed', () => {
    expect(peak(0.5, 245, 101, 0.2)).toBeLessThan(peak(0.5));
    expect(peak(0.5, 290)).toBeGreaterThan(peak(0.5));
  });

  it('has wider pulses the more the crank slows', () => {
    const width = (strength: number) => crankEngine(geometry, 101, 245, 0.5, 0.03, strength).halfWidthS;
    expect(width(0.7)).toBeGreaterThan(width(1));
    expect(width(1)).toBeGreaterThan(width(4));
  });

  it('stays finite on a crank that barely passes the top', () => {
    const weak = crankEngine(geometry, 101, 80, 0.1, -0.3, 0.4);
    expect(weak.peakKpa).toBeGreaterThan(0);
    expect(Number.isFinite(weak.halfWidthS)).toBe(true);
  });
});

describe('what if', () => {
  const conditions = { ambientKpa: 101.325, rpm: 245 };
  const shareAt = (factor: WhatIfFactor, x: number): number => {
    const points = whatIf(card, conditions, factor);
    const near = (y: number) =>
      points.reduce((a, b) => (Math.abs(b.x - y) < Math.abs(a.x - y) ? b : a)).expectedKpa;
    const plain =
      { altitude: 0, throttle: 1, 'adapter-volume': 0, 'intake-closing': 0 }[factor as string] ?? 0;
    return near(x) / near(plain);
  };
  const simulated = (engine: Parameters<typeof makeEngine>[0], more = {}) =>
    simulate({ engine: makeEngine(engine), cylinder: 1, strokes: 9, ...more }).truth.peaksKpa.at(-1)!;
  const base = simulated({ layout });

  it('agrees with the simulator on late intake closing', () => {
    const share = simulated({ layout, camSlipDeg: 20 }) / base;
    expect(Math.abs(shareAt('intake-closing', 20) / share - 1)).toBeLessThan(0.05);
  });

  it('agrees with the simulator on the space of the adapter', () => {
    const rig = rigFor('check-valve');
    const share = simulated({ layout }, { rig: { ...rig, adapterCm3: rig.adapterCm3 + 10 } }) / base;
    expect(Math.abs(shareAt('adapter-volume', 10) / share - 1)).toBeLessThan(0.04);
  });

  it('agrees with the simulator and with the barometer on altitude', () => {
    // 2000 m: 79.5 of 101.3 kPa, US Standard Atmosphere 1976.
    const share = simulated({ layout }, { ambientKpa: 79.495 }) / base;
    expect(Math.abs(shareAt('altitude', 2000) / share - 1)).toBeLessThan(0.03);
    expect(Math.abs(shareAt('altitude', 2000) / (79.495 / 101.325) - 1)).toBeLessThan(0.03);
  });

  it('agrees roughly with the simulator on a weak battery', () => {
    const run = simulate({
      engine: makeEngine({ layout, drive: { batteryStrength: 0.7 } }),
      cylinder: 1,
      strokes: 9,
    }).truth;
    const points = whatIf(card, conditions, 'cranking-speed');
    const at = (rpm: number) =>
      points.reduce((a, b) => (Math.abs(b.x - rpm) < Math.abs(a.x - rpm) ? b : a)).expectedKpa;
    expect(Math.abs(at(run.rpm!) / at(245) / (run.peaksKpa.at(-1)! / base) - 1)).toBeLessThan(0.1);
  });

  it('rises with the pressure in the intake', () => {
    const points = whatIf(card, conditions, 'throttle').map((p) => p.expectedKpa);
    expect([...points].sort((a, b) => a - b)).toEqual(points);
  });

  it('keeps the range around the expected value', () => {
    for (const p of whatIf(card, { ...conditions, hose: OPEN_RIG.hose }, 'leak')) {
      expect(p.lowKpa).toBeLessThan(p.expectedKpa);
      expect(p.highKpa).toBeGreaterThan(p.expectedKpa);
    }
  });

  it('is empty without a compression ratio', () => {
    expect(whatIf({ boreMm: 84, strokeMm: 86 }, conditions, 'altitude')).toEqual([]);
  });
});
