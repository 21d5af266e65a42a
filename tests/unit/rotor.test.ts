import { describe, expect, it } from 'vitest';
import { makeEngine, type SimulatedEngine } from '../../simulator/engine.ts';
import { CHECK_VALVE_RIG, OPEN_RIG, type Rig } from '../../simulator/rig.ts';
import { type RotorFaultKind, withRotorFault } from '../../simulator/rotor-faults.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import type { EngineFacts, ManualLimits } from '../../worker/core/engine.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { speedCorrection } from '../../worker/core/judge/rotor-speed.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { readTyped } from '../../worker/core/measure/read-typed.ts';
import type { CylinderReading, Reading } from '../../worker/core/reading.ts';

const LAYOUT = { kind: 'rotors', rows: [[1, 2]] } as const;
const MANUAL = { minKpa: 680 };
const factsWith = (manual: ManualLimits): EngineFacts => ({
  cycle: 2,
  fuel: 'spark',
  layout: LAYOUT,
  manual,
  geometry: {},
});
const engineAt = (crankingRpm: number) => makeEngine({ layout: LAYOUT, drive: { crankingRpm } });
const sound = engineAt(265);

const readRotor = (engine: SimulatedEngine, cylinder: number, rig: Rig = OPEN_RIG): Reading =>
  readTrace(simulateTrace({ engine, cylinder, strokes: 13, rig, seed: cylinder }).trace, {
    cycle: 2,
    isRotor: true,
    hose: rig.hose,
  });
const readAll = (engine: SimulatedEngine): CylinderReading[] =>
  [1, 2].map((cylinder) => ({ cylinder, condition: 'dry', reading: readRotor(engine, cylinder) }));
const judge = (engine: SimulatedEngine, manual: ManualLimits = MANUAL) =>
  judgeEngine(readAll(engine), factsWith(manual), { code: 'percent-of-highest' }, { ambientKpa: 101.3 });

describe('the reading of a rotor', () => {
  it('has three faces, and the lowest counts', () => {
    const reading = readRotor(withRotorFault(sound, 'side-seal', [1]), 1);
    const peaks = reading.faces!.map((face) => face.peakKpa!);
    expect(peaks).toHaveLength(3);
    expect(reading.finalKpa).toBe(Math.min(...peaks));
    expect(reading.finalKpa! / Math.max(...peaks)).toBeLessThan(0.85);
    expect(reading.faces!.every((face) => face.strokes.length >= 4)).toBe(true);
    expect(reading.notices.filter(({ severity }) => severity === 'stop')).toEqual([]);
  });

  it('is that of the simulated faces, within the plus-minus', () => {
    const engine = withRotorFault(sound, 'apex-seal', [1]);
    const { trace, truth } = simulateTrace({ engine, cylinder: 1, strokes: 13, rig: OPEN_RIG, seed: 4 });
    const { faces } = readTrace(trace, { cycle: 2, isRotor: true, hose: 'open' });
    for (const { strokes, peakKpa, plusMinusKpa } of faces!) {
      const true_ = truth.peaksKpa[strokes.at(-1)! - 1]!;
      expect(Math.abs(peakKpa! - true_)).toBeLessThan(plusMinusKpa! + 0.01 * true_);
    }
  });

  it.each([
    ['slow', { crankingRpm: 190, packetLoss: 0, noiseKpa: 0.5 }],
    ['fast', { crankingRpm: 330, packetLoss: 0, noiseKpa: 0.5 }],
    ['with packets lost and noise', { crankingRpm: 265, packetLoss: 0.06, noiseKpa: 3 }],
  ])('is found %s, without being told the hose', (_, { crankingRpm, packetLoss, noiseKpa }) => {
    for (const seed of [1, 2, 3, 4, 5]) {
      const engine = withRotorFault(engineAt(crankingRpm), 'side-seal', [1], 0.6);
      const { trace, truth } = simulateTrace({
        engine,
        cylinder: 1,
        strokes: 14,
        rig: OPEN_RIG,
        sensor: { noiseKpa },
        damage: { packetLoss },
        seed,
      });
      const reading = readTrace(trace, { cycle: 2, isRotor: true });
      const lowest = Math.min(...truth.peaksKpa.slice(4));
      expect(reading.notices.filter(({ severity }) => severity === 'stop')).toEqual([]);
      expect(reading.hose).toBe('open');
      expect(Math.abs(reading.finalKpa! / lowest - 1)).toBeLessThan(0.03);
    }
  });

  it('counts one compression each shaft turn', () => {
    expect(readRotor(sound, 1).crankingRpm).toBeGreaterThan(235);
    expect(readRotor(sound, 1).crankingRpm).toBeLessThan(265);
  });

  it('is refused with a check-valve hose, with the reason', () => {
    const reading = readRotor(withRotorFault(sound, 'side-seal', [1]), 1, CHECK_VALVE_RIG);
    expect(reading.finalKpa).toBeNull();
    expect(reading.notices[0]).toMatchObject({ code: 'rotor-check-valve', severity: 'stop' });
  });

  it('takes three typed figures as faces, in any order, or one as the lowest', () => {
    const options = { cycle: 2, isRotor: true } as const;
    const three = readTyped({ strokesKpa: [830, 640, 815] }, options);
    expect(three.finalKpa).toBe(640);
    expect(three.faces!.map((face) => face.peakKpa)).toEqual([830, 640, 815]);
    const one = readTyped({ strokesKpa: [], finalKpa: 700 }, options);
    expect(one).toMatchObject({ finalKpa: 700, hose: 'open' });
    expect(one.faces).toBeUndefined();
    const unnoted = readTyped({ strokesKpa: [830, null, 815, 840, 640, 805] }, options);
    expect(unnoted.faces!.map((face) => face.peakKpa)).toEqual([835, 640, 810]);
    expect(readTyped({ strokesKpa: [830, null, 815] }, options).finalKpa).toBeNull();
  });
});

describe('the judgement of a rotary engine', () => {
  it('calls no rotor faulty that the error of the sensor may explain', () => {
    const readings = readAll(sound);
    const lowest = judge(sound).rotors!.map((rotor) => rotor.lowestAt250Kpa);
    const facts = factsWith({ minKpa: Math.max(...lowest) * 1.06 });
    const verdictWith = (sensorPlusMinusKpa: number | undefined) =>
      judgeEngine(
        readings.map((one) => ({ ...one, reading: { ...one.reading, sensorPlusMinusKpa } })),
        facts,
        { code: 'manual' },
        { ambientKpa: 101.3 },
      ).verdict;
    expect([verdictWith(undefined), verdictWith(100)]).toEqual(['fault', 'watch']);
  });

  it('finds no seal in a sound one', () => {
    const { verdict, suspects, rotors } = judge(sound);
    expect([verdict, suspects, rotors!.length]).toEqual(['sound', [], 2]);
  });

  it.each<[RotorFaultKind, string]>([
    ['apex-seal', 'rotor-two-faces-low'],
    ['side-seal', 'rotor-one-face-low'],
  ])('%s: names the seal that the faces point to', (kind, code) => {
    const { suspects, reasons } = judge(withRotorFault(sound, kind, [2]));
    expect(suspects.map(({ cause, cylinders }) => [cause, cylinders])).toEqual([[kind, [2]]]);
    expect(reasons.map((reason) => reason.code)).toContain(code);
  });

  it('calls all low, not a seal, where housings and seals are worn all round', () => {
    const { verdict, suspects } = judge(withRotorFault(sound, 'worn-housing', [1, 2], 1));
    expect(suspects.map(({ cause }) => cause)).toEqual(['all-low']);
    expect(verdict).toBe('fault');
  });

  it('cannot tell without the manual’s minimum, and still compares faces', () => {
    const { verdict, reasons } = judge(sound, {});
    expect(verdict).toBe('cannot-tell');
    expect(reasons.map((reason) => reason.code)).toContain('rotor-no-manual');
    expect(judge(withRotorFault(sound, 'apex-seal', [2]), {}).suspects[0]?.cause).toBe('apex-seal');
  });

  it('applies no general rule and no expected pressure', () => {
    const { rule, expected, wetRetest } = judge(sound);
    expect([rule, expected, wetRetest]).toEqual(['manual', null, []]);
  });

  it('holds faces and rotors to the manual’s differences', () => {
    const engine = withRotorFault(sound, 'side-seal', [2], 1);
    const codes = judge(engine, { minKpa: 400, spreadKpa: 100, faceSpreadKpa: 150 }).reasons.map(
      (reason) => reason.code,
    );
    expect(codes).toContain('rotor-face-spread');
    expect(codes).toContain('rotor-spread');
  });
});

describe('the correction for cranking speed', () => {
  it('raises what was cranked slower than 250 rpm and lowers what was faster', () => {
    expect(speedCorrection(200)!.factor).toBeGreaterThan(1.1);
    expect(speedCorrection(250)!.factor).toBe(1);
    expect(speedCorrection(300)!.factor).toBeLessThan(0.9);
    expect(speedCorrection(null)).toBeNull();
  });

  it.each([190, 300])(
    'brings the simulated rotor at %i rpm to what it reads at 250, within the plus-minus',
    (rpm) => {
      const at = (crankingRpm: number) => judge(engineAt(crankingRpm)).rotors![0]!;
      const reference = at(265);
      const other = at(rpm);
      expect(Math.abs(other.rpm! - reference.rpm!)).toBeGreaterThan(25);
      expect(Math.abs(other.lowestAt250Kpa - reference.lowestAt250Kpa)).toBeLessThan(
        other.lowestAt250PlusMinusKpa,
      );
    },
  );
});
