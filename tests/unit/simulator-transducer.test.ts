import { describe, expect, it } from 'vitest';
import { damageTrace, NO_DAMAGE } from '../../simulator/damage.ts';
import { makeEngine } from '../../simulator/engine.ts';
import { createRandom } from '../../simulator/random.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { createTransducer, makeSensor, type SensorOptions } from '../../simulator/transducer.ts';

const AMBIENT_KPA = 100;
const ideal = { noiseKpa: 0, offsetKpa: 0, resolutionKpa: 0, lagS: 0 };
const read = (options: SensorOptions, kpa: (timeS: number) => number, untilS = 1) =>
  createTransducer(makeSensor({ ...ideal, ...options }), AMBIENT_KPA, createRandom(5)).sample(
    untilS,
    (t) => (kpa(t) + AMBIENT_KPA) * 1000,
  );

const mean = (values: ArrayLike<number>) => Array.from(values).reduce((sum, v) => sum + v, 0) / values.length;

describe('a sensor', () => {
  it('reads gauge or absolute, with its offset, scale, steps and ends', () => {
    expect(read({}, () => 50).pressureKpa[3]).toBeCloseTo(50, 9);
    expect(read({ absolute: true }, () => 50).pressureKpa[3]).toBeCloseTo(150, 9);
    expect(read({ offsetKpa: 3, gain: 1.02 }, () => 50).pressureKpa[3]).toBeCloseTo(54, 9);
    expect(read({ resolutionKpa: 4 }, () => 50.9).pressureKpa[3]).toBe(52);
    expect(read({ maxKpa: 40 }, () => 50).pressureKpa[3]).toBe(40);
    expect(read({ minKpa: -5 }, () => -50).pressureKpa[3]).toBe(-5);
  });

  it('samples at its rate, from 0 up to before the end', () => {
    const { timeS } = read({ rateHz: 250 }, () => 0, 0.5);
    expect(timeS.length).toBe(125);
    expect(timeS[1]).toBeCloseTo(0.004, 12);
  });

  it('has the given noise', () => {
    const { pressureKpa } = read({ noiseKpa: 2, rateHz: 20_000 }, () => 0);
    expect(Math.abs(mean(pressureKpa))).toBeLessThan(0.1);
    expect(Math.sqrt(mean(pressureKpa.map((p) => p * p)))).toBeCloseTo(2, 1);
  });

  it('lags a ramp by its time constant, and a step by the exponential', () => {
    const ramp = read({ lagS: 0.01, rateHz: 100 }, (t) => 1000 * t).pressureKpa;
    expect(ramp[50]).toBeCloseTo(1000 * (0.5 - 0.01), 6);
    const step = read({ lagS: 0.02, rateHz: 1000 }, (t) => (t < 0.1 ? 0 : 100)).pressureKpa;
    expect(step[120]).toBeCloseTo(100 * (1 - Math.exp(-1)), 0);
  });

  it('jitters without running backwards', () => {
    const { timeS } = read({ jitterS: 0.003, rateHz: 500 }, () => 0);
    timeS.forEach((t, i) => {
      if (i > 0) expect(t).toBeGreaterThan(timeS[i - 1]!);
    });
  });

  it('reads the same in pieces as at once', () => {
    const sensor = makeSensor({ noiseKpa: 1, jitterS: 0.0003, lagS: 0.001 });
    const wave = (t: number) => (AMBIENT_KPA + 500 * Math.sin(7 * t)) * 1000;
    const atOnce = createTransducer(sensor, AMBIENT_KPA, createRandom(5)).sample(2, wave);
    const pieces = createTransducer(sensor, AMBIENT_KPA, createRandom(5));
    const samplesKpa: number[] = [];
    for (const untilS of [0.001, 0.3, 0.3, 1.111, 2])
      samplesKpa.push(...pieces.sample(untilS, wave).pressureKpa);
    expect(samplesKpa).toEqual([...atOnce.pressureKpa]);
  });
});

describe('damage', () => {
  const block = read({ rateHz: 500 }, (t) => 100 * t, 4);

  it('takes out packets and says where', () => {
    const trace = damageTrace(block, { ...NO_DAMAGE, packetLoss: 0.1 }, createRandom(2));
    const lost = block.timeS.length - trace.timeS.length;
    expect(lost).toBeGreaterThan(100);
    expect(lost).toBeLessThan(320);
    const inGaps = trace.gaps.reduce((sum, g) => sum + Math.round((g.endS - g.startS) * 500) - 1, 0);
    expect(Math.abs(inGaps - lost)).toBeLessThanOrEqual(20);
    for (const gap of trace.gaps) {
      expect(gap.reason).toBe('packets-lost');
      expect(trace.timeS.indexOf(gap.endS)).toBe(trace.timeS.indexOf(gap.startS) + 1);
      expect(trace.timeS.includes(gap.startS)).toBe(true);
    }
  });

  it('adds the given number of wild samples', () => {
    const trace = damageTrace(block, { ...NO_DAMAGE, spikes: 3 }, createRandom(2));
    const wild = [...trace.pressureKpa].filter((p, i) => Math.abs(p - block.pressureKpa[i]!) > 100);
    expect(wild.length).toBe(3);
  });

  it('cuts out the time without a link', () => {
    const trace = damageTrace(block, { ...NO_DAMAGE, dropouts: [{ startS: 1, endS: 2 }] }, createRandom(2));
    expect(trace.gaps).toEqual([{ startS: 0.998, endS: 2, reason: 'link-lost' }]);
  });
});

it('makes the same trace for the same seed and another for another seed', () => {
  const engine = makeEngine({ layout: { kind: 'inline', rows: [[1]] } });
  const make = (seed: number) =>
    simulateTrace({ engine, cylinder: 1, seed, damage: { packetLoss: 0.02 } }).trace;
  expect(make(4)).toEqual(make(4));
  expect(make(4)).not.toEqual(make(5));
});
