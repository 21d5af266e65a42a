import { type CrankRun, crankCylinder } from '../../simulator/crank.ts';
import type { SimulatedEngine } from '../../simulator/engine.ts';
import type { Random } from '../../simulator/random.ts';
import type { Rig } from '../../simulator/rig.ts';
import type { Condition, Trace } from '../../worker/core/trace.ts';

/** Conditions of the day, the same for all cylinders. */
export interface Day {
  readonly rig: Rig;
  readonly rateHz: number;
  readonly noiseKpa: number;
  readonly ambientKpa: number;
  readonly ambientKelvin: number;
}

/** Cranks one cylinder from a random angle for 7 to 10 strokes, with a sensor whose zero is off by up to 6 kPa. */
export function measureCylinder(
  random: Random,
  day: Day,
  engine: SimulatedEngine,
  cylinder: number,
  condition: Condition,
): { readonly run: CrankRun; readonly trace: Trace } {
  const run = crankCylinder({
    engine,
    cylinder,
    condition,
    rig: day.rig,
    startDeg: random.between(0, 720),
    strokes: 7 + random.index(4),
    releaseDeg: random.between(30, 650),
    ambientKpa: day.ambientKpa,
    ambientKelvin: day.ambientKelvin,
    tolerance: 1e-4,
  });
  const offsetKpa = random.between(-6, 6);
  const count = Math.floor(run.endS * day.rateHz);
  const timeS = Float64Array.from({ length: count }, (_, i) => i / day.rateHz);
  const pressureKpa = timeS.map(
    (t) => run.gaugePa.at(t) / 1000 - day.ambientKpa + offsetKpa + day.noiseKpa * random.normal(),
  );
  return { run, trace: { timeS, pressureKpa, gaps: [] } };
}
