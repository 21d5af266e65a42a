import type { SampleBlock } from '../worker/core/trace.ts';
import type { Random } from './random.ts';

/** What a pressure sensor makes of the pressure at its end of the hose. Pressures in kPa. */
export interface Sensor {
  readonly rateHz: number;
  /** Time constant of a first-order lag, s. */
  readonly lagS: number;
  /** Standard deviation of each sample. */
  readonly noiseKpa: number;
  readonly offsetKpa: number;
  /** 1 for a true scale. */
  readonly gain: number;
  /** Reads the pressure above vacuum instead of above the air's. */
  readonly absolute: boolean;
  /** Smallest step that it tells; 0 for any. */
  readonly resolutionKpa: number;
  /** Ends of its range as it reports; beyond them it sticks. */
  readonly minKpa: number;
  readonly maxKpa: number;
  /** Standard deviation of the times that it reports, s. */
  readonly jitterS: number;
}

/** An ordinary 20 bar gauge transducer. */
const ORDINARY_SENSOR: Sensor = {
  rateHz: 400,
  lagS: 0.0005,
  noiseKpa: 0.8,
  offsetKpa: 0.6,
  gain: 1,
  absolute: false,
  resolutionKpa: 0.5,
  minKpa: -100,
  maxKpa: 2000,
  jitterS: 0,
};

export type SensorOptions = Partial<Sensor>;

/** An ordinary sensor with `options`. An absolute one gets a range from vacuum up, unless told otherwise. */
export function makeSensor(options: SensorOptions = {}): Sensor {
  return { ...ORDINARY_SENSOR, ...(options.absolute ? { minKpa: 0 } : {}), ...options };
}

export interface Transducer {
  /**
   * Samples from where the last call ended up to before `untilS`. `gaugePa` gives the absolute pressure at the sensor at a
   * time; it is asked in ascending order.
   */
  sample(untilS: number, gaugePa: (timeS: number) => number): SampleBlock;
}

/** The lag is followed in steps of this at most, s. */
const LAG_STEP_S = 2.5e-4;

/** A sensor switched on at `startS`. Deterministic: the same `random` gives the same noise, however it is called. */
export function createTransducer(sensor: Sensor, ambientKpa: number, random: Random, startS = 0): Transducer {
  const noise = random.fork(1);
  const jitter = random.fork(2);
  let index = 0;
  let lastTimeS = Number.NEGATIVE_INFINITY;
  let filterS = startS;
  let input = Number.NaN;
  let lagged = Number.NaN;

  /** The lagged pressure at `timeS`, the pressure taken as straight between steps. */
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

  const read = (pa: number): number => {
    const kpa = pa / 1000 - (sensor.absolute ? 0 : ambientKpa);
    const told = sensor.gain * kpa + sensor.offsetKpa + sensor.noiseKpa * noise.normal();
    const { resolutionKpa: step } = sensor;
    const rounded = step > 0 ? Math.round(told / step) * step : told;
    return Math.min(sensor.maxKpa, Math.max(sensor.minKpa, rounded));
  };

  return {
    sample: (untilS, gaugePa) => {
      const end = Math.max(index, Math.ceil((untilS - startS) * sensor.rateHz - 1e-9));
      const timeS = new Float64Array(end - index);
      const pressureKpa = new Float64Array(end - index);
      for (let i = 0; index < end; i++, index++) {
        const takenS = startS + index / sensor.rateHz;
        pressureKpa[i] = read(follow(takenS, gaugePa));
        const told = takenS + (sensor.jitterS > 0 ? sensor.jitterS * jitter.normal() : 0);
        // Clocks jitter, but they do not run backwards.
        lastTimeS = Math.max(told, lastTimeS + 0.05 / sensor.rateHz);
        timeS[i] = lastTimeS;
      }
      return { timeS, pressureKpa };
    },
  };
}
