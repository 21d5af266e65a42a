import type { Condition } from '../worker/core/trace.ts';
import { SEA_LEVEL_KPA } from '../worker/core/units.ts';
import { type Cranking, startCranking } from './cranking.ts';
import { cycleDeg, healthOf, type SimulatedEngine } from './engine.ts';
import type { History } from './history.ts';
import { CHECK_VALVE_RIG, type Rig } from './rig.ts';
import { type CrankTruth, crankTruth } from './truth.ts';

/** One capture: rest, cranking, coasting, rest. Missing figures take defaults. */
export interface CrankSpec {
  readonly engine: SimulatedEngine;
  readonly cylinder: number;
  /** Default `dry`. */
  readonly condition?: Condition | undefined;
  /** Default: check-valve hose. */
  readonly rig?: Rig | undefined;
  /** Initial crank angle, degrees after the top of a compression. Default 200, which makes the first stroke a full one. */
  readonly startDeg?: number | undefined;
  /** Compression strokes before the starter is released. Default 7. Ignored when `crankS` is given. */
  readonly strokes?: number | undefined;
  /** Angle of the release after the top of the last stroke, degrees. Default 150. */
  readonly releaseDeg?: number | undefined;
  /** Time that the starter is engaged, s. Replaces `strokes` and `releaseDeg`. */
  readonly crankS?: number | undefined;
  /** Rest before and after, s. Defaults 0.8 and 1. */
  readonly restBeforeS?: number | undefined;
  readonly restAfterS?: number | undefined;
  /** Defaults: the standard atmosphere and 293 K. */
  readonly ambientKpa?: number | undefined;
  readonly ambientKelvin?: number | undefined;
  /** Relative error of one integration step; default in `CrankingSpec`. */
  readonly tolerance?: number | undefined;
}

/** Result of `crankCylinder`. */
export interface CrankRun {
  /** End of the capture, s; it starts at 0. */
  readonly endS: number;
  readonly ambientKpa: number;
  /** Absolute pressure in the cylinder over time, Pa; ambient before cranking. */
  readonly cylinderPa: History;
  /** As `cylinderPa`, at the sensor's end of the hose. */
  readonly gaugePa: History;
  readonly truth: CrankTruth;
}

/** Longest cranking, s. Needed for an engine that never passes its first compression. */
const LONGEST_CRANK_S = 60;

function crankUntilRelease(cranking: Cranking, spec: CrankSpec, startS: number): void {
  if (spec.crankS !== undefined) {
    cranking.advanceTo(startS + spec.crankS);
  } else {
    const releaseAtDeg = ((spec.strokes ?? 7) - 1) * cycleDeg(spec.engine) + (spec.releaseDeg ?? 150);
    while (cranking.angleDeg < releaseAtDeg && cranking.timeS - startS < LONGEST_CRANK_S) {
      cranking.advanceTo(cranking.timeS + 1e-6);
    }
  }
  cranking.release();
}

/** Cranks one cylinder from rest to rest. Deterministic. Throws a `RangeError` for an unknown cylinder. */
export function crankCylinder(spec: CrankSpec): CrankRun {
  const startS = spec.restBeforeS ?? 0.8;
  const ambientKpa = spec.ambientKpa ?? SEA_LEVEL_KPA;
  const rig = spec.rig ?? CHECK_VALVE_RIG;
  const condition = spec.condition ?? 'dry';
  const cranking = startCranking({
    engine: spec.engine,
    cylinder: spec.cylinder,
    condition,
    rig,
    startDeg: spec.startDeg ?? 200,
    startS,
    ambientKpa,
    ambientKelvin: spec.ambientKelvin ?? 293,
    tolerance: spec.tolerance,
  });
  crankUntilRelease(cranking, spec, startS);
  const latestS = cranking.timeS + 10;
  while (!cranking.stopped && cranking.timeS < latestS) cranking.advanceTo(cranking.timeS + 0.02);
  const endS = cranking.timeS + (spec.restAfterS ?? 1);
  cranking.advanceTo(endS);
  return {
    endS,
    ambientKpa,
    cylinderPa: cranking.cylinderPa,
    gaugePa: cranking.gaugePa,
    truth: crankTruth(cranking, healthOf(spec.engine, spec.cylinder), rig, spec.engine.cycle, ambientKpa),
  };
}
