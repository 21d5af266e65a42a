import { describe, expect, it } from 'vitest';
import { createRandom } from '../../simulator/random.ts';
import { createTransducer, makeSensor, type SensorOptions } from '../../simulator/transducer.ts';

const EXACT: SensorOptions = {
  noiseKpa: 0,
  offsetKpa: 0,
  resolutionKpa: 0,
  lagS: 0,
  rateHz: 100,
  maxKpa: 2000,
};

/** Readings of a constant gauge pressure over two seconds. */
const readings = (options: SensorOptions, gaugeKpa: number): Float64Array =>
  createTransducer(makeSensor({ ...EXACT, ...options }), 100, createRandom(1)).sample(
    2,
    () => (gaugeKpa + 100) * 1000,
  ).pressureKpa;

describe('errors of the scale', () => {
  it('reads a straight scale exactly', () => {
    expect(readings({}, 1000).at(-1)).toBeCloseTo(1000, 9);
  });

  it('bends the scale by the stated share at full scale, and by half of it at half', () => {
    expect(readings({ curvature: -0.01 }, 2000).at(-1)).toBeCloseTo(1980, 6);
    expect(readings({ curvature: 0.01 }, 1000).at(-1)).toBeCloseTo(1000 * 1.005, 6);
  });

  it('moves the zero with time', () => {
    const drifting = readings({ driftKpaPerS: -2 }, 500);
    expect(drifting.at(0)).toBeCloseTo(500, 9);
    expect(drifting.at(100)).toBeCloseTo(498, 9);
  });
});
