import type { Condition, SampleBlock } from '../worker/core/trace.ts';
import { SEA_LEVEL_KPA } from '../worker/core/units.ts';
import { type Cranking, startCranking } from './cranking.ts';
import { cycleDeg, phaseDeg, type SimulatedEngine } from './engine.ts';
import { createRandom } from './random.ts';
import { type Rig, releasedPressurePa } from './rig.ts';
import { createTransducer, type Sensor } from './transducer.ts';

/** Engine, rig and sensor of a live simulation. */
export interface LiveSpec {
  readonly engine: SimulatedEngine;
  readonly rig: Rig;
  readonly sensor: Sensor;
  readonly seed: number;
  /** Defaults: the standard atmosphere and 293 K. */
  readonly ambientKpa?: number | undefined;
  readonly ambientKelvin?: number | undefined;
}

/** An engine with a gauge on one cylinder, simulated in step with the calls. Times in seconds must ascend. */
export interface LiveEngine {
  /**
   * Engages the starter for `seconds`. A call while cranking restarts that period. Held pressure is released first, which
   * delays the start.
   */
  crank(atS: number, seconds: number): void;
  /** Releases the starter. */
  releaseStarter(atS: number): void;
  /** Releases the starter and the held pressure. */
  releasePressure(atS: number): void;
  /**
   * Releases the pressure and moves the hose to another cylinder; `wet` adds the oil. Throws a `RangeError` for an unknown
   * cylinder.
   */
  moveHose(atS: number, cylinder: number, condition: Condition): void;
  /** Samples from the end of the last call up to, but not including, `untilS`. */
  sample(untilS: number): SampleBlock;
  readonly cylinder: number;
  readonly condition: Condition;
  /** Whether the starter is engaged or about to be. */
  readonly starterOn: boolean;
}

/** Delay of the starter after the release of a held pressure. */
const BEFORE_CRANKING_S = 0.8;
/** Difference to ambient from which a pressure counts as held. */
const HELD_PRESSURE_PA = 20_000;

/** One cranking from start to rest. */
interface Turn {
  readonly cranking: Cranking;
  readonly startS: number;
  endS: number;
}

/** Creates an engine at rest with the hose in `cylinder`, dry. */
export function createLiveEngine(spec: LiveSpec, cylinder: number): LiveEngine {
  const ambientKpa = spec.ambientKpa ?? SEA_LEVEL_KPA;
  const ambientPa = ambientKpa * 1000;
  const random = createRandom(spec.seed);
  const transducer = createTransducer(spec.sensor, ambientKpa, random.fork(1));
  /** Crank angle of the first cylinder, degrees. */
  let crankDeg = random.fork(2).between(0, cycleDeg(spec.engine));
  let condition: Condition = 'dry';
  let turn: Turn | undefined;
  let sampledS = 0;
  let releasedAtS = Number.NEGATIVE_INFINITY;
  let releasedFromPa = ambientPa;

  const hosePa = (timeS: number): number => {
    if (turn && timeS >= turn.startS) return turn.cranking.gaugePa.at(timeS);
    return releasedPressurePa(releasedFromPa, ambientPa, timeS - releasedAtS);
  };

  const workOut = (untilS: number): void => {
    if (!turn || untilS <= turn.startS) return;
    const { cranking } = turn;
    if (untilS >= turn.endS && cranking.releasedS === null) {
      cranking.advanceTo(turn.endS);
      cranking.release();
    }
    cranking.advanceTo(untilS);
    cranking.gaugePa.forgetBefore(sampledS);
    cranking.cylinderPa.forgetBefore(sampledS);
  };

  const releasePressure = (atS: number): void => {
    workOut(atS);
    releasedFromPa = hosePa(atS);
    releasedAtS = atS;
    if (turn) crankDeg = turn.cranking.angleDeg + phaseDeg(spec.engine, cylinder);
    turn = undefined;
  };

  return {
    crank: (atS, seconds) => {
      workOut(atS);
      if (turn && turn.cranking.releasedS === null) {
        turn.endS = Math.max(atS, turn.startS) + seconds;
        return;
      }
      const held = Math.abs(hosePa(atS) - ambientPa) > HELD_PRESSURE_PA;
      releasePressure(atS);
      const startS = held ? atS + BEFORE_CRANKING_S : atS;
      turn = {
        startS,
        endS: startS + seconds,
        cranking: startCranking({
          engine: spec.engine,
          cylinder,
          condition,
          rig: spec.rig,
          startDeg: crankDeg - phaseDeg(spec.engine, cylinder),
          startS,
          ambientKpa,
          ambientKelvin: spec.ambientKelvin ?? 293,
        }),
      };
    },
    releaseStarter: (atS) => {
      if (turn) turn.endS = Math.min(turn.endS, Math.max(atS, turn.startS));
    },
    releasePressure,
    moveHose: (atS, to, nextCondition) => {
      if (!spec.engine.cylinders.has(to)) throw new RangeError(`The engine has no cylinder ${to}.`);
      releasePressure(atS);
      cylinder = to;
      condition = nextCondition;
    },
    sample: (untilS) => {
      workOut(untilS);
      const block = transducer.sample(untilS, hosePa);
      sampledS = Math.max(sampledS, untilS);
      return block;
    },
    get cylinder() {
      return cylinder;
    },
    get condition() {
      return condition;
    },
    get starterOn() {
      return turn !== undefined && turn.cranking.releasedS === null;
    },
  };
}
