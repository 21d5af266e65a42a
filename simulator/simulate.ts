import type { SampleBlock, Trace } from '../worker/core/trace.ts';
import { type CrankSpec, crankCylinder } from './crank.ts';
import { type Damage, damageTrace, NO_DAMAGE } from './damage.ts';
import { createRandom } from './random.ts';
import { releasedPressurePa } from './rig.ts';
import { createTransducer, makeSensor, type Sensor, type SensorOptions } from './transducer.ts';
import type { CrankTruth } from './truth.ts';

/** A recorded capture. Missing figures take defaults. */
export interface TraceSpec extends CrankSpec {
  readonly sensor?: SensorOptions | undefined;
  readonly damage?: Partial<Damage> | undefined;
  /** Releases the pressure at the end and records this much longer, s. Default: the pressure stays held. */
  readonly pressureReleaseForS?: number | undefined;
  /** Seed of noise and damage. Default 1. */
  readonly seed?: number | undefined;
}

/** Result of `simulateTrace`. */
export interface SimulatedTrace {
  readonly trace: Trace;
  readonly truth: CrankTruth;
  /** Samples of the sensor before `damage` was applied. */
  readonly whole: SampleBlock;
  readonly sensor: Sensor;
}

/** Cranks a cylinder and records it with a sensor. Deterministic. Throws a `RangeError` for an unknown cylinder. */
export function simulateTrace(spec: TraceSpec): SimulatedTrace {
  const run = crankCylinder(spec);
  const random = createRandom(spec.seed ?? 1);
  const sensor = makeSensor(spec.sensor);
  const transducer = createTransducer(sensor, run.ambientKpa, random.fork(1));
  const heldPa = run.gaugePa.at(run.endS);
  const gaugePa = (t: number) =>
    t <= run.endS ? run.gaugePa.at(t) : releasedPressurePa(heldPa, run.ambientKpa * 1000, t - run.endS);
  const whole = transducer.sample(run.endS + (spec.pressureReleaseForS ?? 0), gaugePa);
  const trace = damageTrace(whole, { ...NO_DAMAGE, ...spec.damage }, random.fork(2));
  return { trace, truth: run.truth, whole, sensor };
}
