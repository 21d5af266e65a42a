import type { SampleBlock } from '../worker/core/trace.ts';
import type { Random } from './random.ts';

/** Properties of a pressure sensor. Pressures in kPa. */
export interface Sensor {
  readonly rateHz: number;
  /** Time constant of a first-order lag, s. */
  readonly lagS: number;
  /** Standard deviation of each sample. */
  readonly noiseKpa: number;
  readonly offsetKpa: number;
  /** Scale factor; 1 for an exact scale. */
  readonly gain: number;
  /** Error of the scale at `maxKpa`, as a share, growing in proportion to the pressure; 0 for a straight scale. */
  readonly curvature: number;
  /** Movement of the zero. */
  readonly driftKpaPerS: number;
  /** Whether it measures absolute instead of gauge pressure. */
  readonly absolute: boolean;
  /** Smallest step; 0 for none. */
  readonly resolutionKpa: number;
  /** Range of reported values, at which they are clipped. */
  readonly minKpa: number;
  readonly maxKpa: number;
  /** Standard deviation of the reported times, s. */
  readonly jitterS: number;
}

/** A typical 20 bar gauge transducer. */
const TYPICAL_SENSOR: Sensor = {
  rateHz: 400,
  lagS: 0.0005,
  noiseKpa: 0.8,
  offsetKpa: 0.6,
  gain: 1,
  curvature: 0,
  driftKpaPerS: 0,
  absolute: false,
  resolutionKpa: 0.5,
  minKpa: -100,
  maxKpa: 2000,
  jitterS: 0,
};

/** Options of `makeSensor`. */
export type SensorOptions = Partial<Sensor>;

/** A typical sensor with `options` applied. The range of an absolute one starts at vacuum by default. */
export function makeSensor(options: SensorOptions = {}): Sensor {
  return { ...TYPICAL_SENSOR, ...(options.absolute ? { minKpa: 0 } : {}), ...options };
}

/** A sensor in operation. */
export interface Transducer {
  /**
   * Samples from the end of the last call up to, but not including, `untilS`. `gaugePa` gives the absolute pressure at the
   * sensor at a time; it is called with ascending times.
   */
  sample(untilS: number, gaugePa: (timeS: number) => number): SampleBlock;
}

/** Longest integration step of the lag, s. */
const LAG_STEP_S = 2.5e-4;

/** Creates a sensor switched on at `startS`. The same `random` gives the same noise, however the calls are divided. */
export function createTransducer(sensor: Sensor, ambientKpa: number, random: Random, startS = 0): Transducer {
  const noise = random.fork(1);
  const jitter = random.fork(2);
  let index = 0;
  let lastTimeS = Number.NEGATIVE_INFINITY;
  let filterS = startS;
  let input = Number.NaN;
  let lagged = Number.NaN;

  /** The lagged pressure at `timeS`, with the input interpolated linearly between steps. */
  const follow = (timeS: number, gaugePa: (timeS: number) => number): number => {
    if (sensor.lagS <= 0) return gaugePa(timeS);
    if (Number.isNaN(lagged)) lagged = input = gaugePa(filterS);
    const steps = Math.ceil((timeS - filterS) / LAG_STEP_S);
    const h = (timeS - filterS) / steps;
    const keep = Math.exp(-h / sensor.lagS);
    for (let i = 1; i <= steps; i++) {
      const next = gaugePa(filterS + i * h);
      const slope = (next - input) / h;
      lagged = next - slope * sensor.lagS + (lagged - input + slope * sensor.lagS) * keep;
      input = next;
    }
    filterS = timeS;
    return lagged;
  };

  const read = (pa: number, timeS: number): number => {
    const kpa = pa / 1000 - (sensor.absolute ? 0 : ambientKpa);
    const scale = sensor.gain * (1 + (sensor.curvature * kpa) / sensor.maxKpa);
    const zeroKpa = sensor.offsetKpa + sensor.driftKpaPerS * (timeS - startS);
    const measured = scale * kpa + zeroKpa + sensor.noiseKpa * noise.normal();
    const { resolutionKpa: step } = sensor;
    const rounded = step > 0 ? Math.round(measured / step) * step : measured;
    return Math.min(sensor.maxKpa, Math.max(sensor.minKpa, rounded));
  };

  return {
    sample: (untilS, gaugePa) => {
      const end = Math.max(index, Math.ceil((untilS - startS) * sensor.rateHz - 1e-9));
      const timeS = new Float64Array(end - index);
      const pressureKpa = new Float64Array(end - index);
      for (let i = 0; index < end; i++, index++) {
        const takenS = startS + index / sensor.rateHz;
        pressureKpa[i] = read(follow(takenS, gaugePa), takenS);
        const reportedS = takenS + (sensor.jitterS > 0 ? sensor.jitterS * jitter.normal() : 0);
        // Clocks jitter, but they do not run backwards.
        lastTimeS = Math.max(reportedS, lastTimeS + 0.05 / sensor.rateHz);
        timeS[i] = lastTimeS;
      }
      return { timeS, pressureKpa };
    },
  };
}
