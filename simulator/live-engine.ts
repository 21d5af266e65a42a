import type { Condition, SampleBlock } from '../worker/core/trace.ts';
import { SEA_LEVEL_KPA } from '../worker/core/units.ts';
import { type Cranking, startCranking } from './cranking.ts';
import { cycleDeg, phaseDeg, type SimulatedEngine } from './engine.ts';
import { createRandom } from './random.ts';
import { lettingOffPa, type Rig } from './rig.ts';
import { createTransducer, type Sensor } from './transducer.ts';

export interface LiveSpec {
  readonly engine: SimulatedEngine;
  readonly rig: Rig;
  readonly sensor: Sensor;
  readonly seed: number;
  /** Defaults: the standard atmosphere and 293 K. */
  readonly ambientKpa?: number | undefined;
  readonly ambientKelvin?: number | undefined;
}

/** An engine on the bench with a gauge on one cylinder, worked out as time goes on. Times in seconds, ascending. */
export interface LiveEngine {
  /** Turns the starter for so long. Pressed again meanwhile, it turns on from then. A held pressure is let off first. */
  crank(atS: number, seconds: number): void;
  /** The starter lets go at once. */
  letGo(atS: number): void;
  /** Lets the pressure off; the starter lets go first. */
  letOff(atS: number): void;
  /** Lets the pressure off and screws the hose into another plug hole; `wet` pours the oil in. */
  moveHose(atS: number, cylinder: number, condition: Condition): void;
  /** What the sensor reads from the last call up to before `untilS`. */
  sample(untilS: number): SampleBlock;
  readonly cylinder: number;
  readonly condition: Condition;
  /** The starter turns, or is about to. */
  readonly starterOn: boolean;
}

const BEFORE_CRANKING_S = 0.8;
const WORTH_LETTING_OFF_PA = 20_000;

interface Turn {
  readonly cranking: Cranking;
  readonly startS: number;
  endS: number;
}

export function createLiveEngine(spec: LiveSpec, cylinder: number): LiveEngine {
  const ambientKpa = spec.ambientKpa ?? SEA_LEVEL_KPA;
  const ambientPa = ambientKpa * 1000;
  const random = createRandom(spec.seed);
  const transducer = createTransducer(spec.sensor, ambientKpa, random.fork(1));
  /** Where the crank of the first cylinder stands, degrees. */
  let crankDeg = random.fork(2).between(0, cycleDeg(spec.engine));
  let condition: Condition = 'dry';
  let turn: Turn | undefined;
  let sampledS = 0;
  let letOffS = Number.NEGATIVE_INFINITY;
  let letOffPa = ambientPa;

  const hosePa = (timeS: number): number => {
    if (turn && timeS >= turn.startS) return turn.cranking.gaugePa.at(timeS);
    return lettingOffPa(letOffPa, ambientPa, timeS - letOffS);
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

  const letOff = (atS: number): void => {
    workOut(atS);
    letOffPa = hosePa(atS);
    letOffS = atS;
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
      const held = Math.abs(hosePa(atS) - ambientPa) > WORTH_LETTING_OFF_PA;
      letOff(atS);
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
    letGo: (atS) => {
      if (turn) turn.endS = Math.min(turn.endS, Math.max(atS, turn.startS));
    },
    letOff,
    moveHose: (atS, to, nextCondition) => {
      if (!spec.engine.cylinders.has(to)) throw new RangeError(`The engine has no cylinder ${to}.`);
      letOff(atS);
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
