import type { SampleBlock, Trace } from '../worker/core/trace.ts';
import { type CrankSpec, crankCylinder } from './crank.ts';
import { type Damage, damageTrace, NO_DAMAGE } from './damage.ts';
import { createRandom } from './random.ts';
import { lettingOffPa } from './rig.ts';
import { createTransducer, makeSensor, type Sensor, type SensorOptions } from './transducer.ts';
import type { CrankTruth } from './truth.ts';

/** A capture as it would be recorded. Missing figures are ordinary ones. */
export interface TraceSpec extends CrankSpec {
  readonly sensor?: SensorOptions | undefined;
  readonly damage?: Partial<Damage> | undefined;
  /** Lets the pressure off at the end and records so much longer, s. Default: it stays held. */
  readonly letOffForS?: number | undefined;
  /** Same seed, same noise. Default 1. */
  readonly seed?: number | undefined;
}

export interface SimulatedTrace {
  readonly trace: Trace;
  readonly truth: CrankTruth;
  /** What the sensor read, before anything was lost or spoilt on the way. */
  readonly whole: SampleBlock;
  readonly sensor: Sensor;
}

/** Cranks a cylinder, reads it with a sensor and records it. Pure: the same spec gives the same trace. */
export function simulateTrace(spec: TraceSpec): SimulatedTrace {
  const run = crankCylinder(spec);
  const random = createRandom(spec.seed ?? 1);
  const sensor = makeSensor(spec.sensor);
  const transducer = createTransducer(sensor, run.ambientKpa, random.fork(1));
  const heldPa = run.gaugePa.at(run.endS);
  const gaugePa = (t: number) =>
    t <= run.endS ? run.gaugePa.at(t) : lettingOffPa(heldPa, run.ambientKpa * 1000, t - run.endS);
  const whole = transducer.sample(run.endS + (spec.letOffForS ?? 0), gaugePa);
  const trace = damageTrace(whole, { ...NO_DAMAGE, ...spec.damage }, random.fork(2));
  return { trace, truth: run.truth, whole, sensor };
}
