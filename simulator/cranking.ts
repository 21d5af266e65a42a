import type { Condition } from '../worker/core/trace.ts';
import { cylinderModel, STATE } from './cylinder.ts';
import { healthOf, type SimulatedEngine } from './engine.ts';
import { createHistory, type History } from './history.ts';
import type { Rig } from './rig.ts';
import { createStepper } from './runge-kutta.ts';

/** Engine, gauge rig and initial state of a cranking. */
export interface CrankingSpec {
  readonly engine: SimulatedEngine;
  readonly cylinder: number;
  readonly condition: Condition;
  readonly rig: Rig;
  /** Initial crank angle of this cylinder, degrees after the top of a compression; any number. */
  readonly startDeg: number;
  /** Time when the starter engages, s. The engine rests before it. */
  readonly startS: number;
  readonly ambientKpa: number;
  readonly ambientKelvin: number;
  /** Allowed relative error of one integration step. Default 3e-6, which gives peaks within 1e-4. */
  readonly tolerance?: number | undefined;
}

/** Incremental simulation of one cylinder on the starter. Pressures are absolute pascals. */
export interface Cranking {
  /** Time reached by the simulation, s. */
  readonly timeS: number;
  /** Simulates up to `timeS` or one step beyond. */
  advanceTo(timeS: number): void;
  /** Releases the starter at the current time; the engine coasts. */
  release(): void;
  /** Time of the release, s; `null` while the starter is engaged. */
  readonly releasedS: number | null;
  /** Times at which the piston passed the top of a compression going forwards, s. */
  readonly tdcS: readonly number[];
  /** Current crank angle, degrees after the first top of compression. */
  readonly angleDeg: number;
  /** Completed working cycles: tops of compression after which the exhaust valve opened. */
  readonly cycles: number;
  readonly rpm: number;
  /** True once the crank has stopped after the release. */
  readonly stopped: boolean;
  readonly cylinderPa: History;
  readonly gaugePa: History;
  /** The piston started between intake closing and the top, so the first stroke compressed a partial charge. */
  readonly firstPartial: boolean;
  /** State vector (see `STATE`), for checks of mass and energy balance. */
  readonly state: Float64Array;
  /** Effective leak of the rings with the oil film built up, in this condition. */
  readonly ringMm2: number;
}

const LONGEST_STEP_S = 0.02;
/** Longest step as an angle: keeps the cubic interpolation within 1e-5 of the pressure. */
const LONGEST_STEP_RAD = (6 * Math.PI) / 180;
/** A step ends at this share of the way to a valve event. Steps as short as `SKIP_S` then pass the event. */
const APPROACH = 0.98;
const SKIP_S = 2e-7;
/** Below this speed the crank counts as stopped. */
const STOPPED_RAD_PER_S = 0.02;
/** Allowed absolute errors in the order of `STATE`. Infinite: the component is not controlled. */
const ABSOLUTE = [
  1e-6,
  1e-5,
  1e-10,
  1e-5,
  1e-11,
  1e-6,
  1e-5,
  1,
  Number.POSITIVE_INFINITY,
  Number.POSITIVE_INFINITY,
  1e-11,
];

/** Starts a cranking. Throws a `RangeError` for an unknown cylinder. */
export function startCranking(spec: CrankingSpec): Cranking {
  const model = cylinderModel({ ...spec, health: healthOf(spec.engine, spec.cylinder) });
  const { cycleRad } = model;
  const tolerance = spec.tolerance ?? 3e-6;
  const start = (spec.startDeg * Math.PI) / 180;
  model.engageStarter(true);
  const stepper = createStepper(
    // Shifted into the cycle before the first top of compression, so that the first top is at angle 0.
    model.atRest(start - cycleRad * Math.ceil(start / cycleRad)),
    model.derivative,
    tolerance,
    Float64Array.from(ABSOLUTE, (a) => a * (tolerance / 1e-6)),
  );
  const { y, dy } = stepper;
  const cylinderPa = createHistory();
  const gaugePa = createHistory();
  const tdcS: number[] = [];
  let timeS = spec.startS;
  let releasedS: number | null = null;
  let cycles = 0;

  const firstPartial = model.isClosed(y[STATE.angle]!) && y[STATE.angle]! > -Math.PI;

  const record = () => {
    cylinderPa.push(timeS, model.pressurePa(y), model.pressureRate());
    gaugePa.push(timeS, model.gaugePa(y), model.gaugeRate(y, dy));
  };
  record();

  const stopped = () => releasedS !== null && Math.abs(y[STATE.speed]!) < STOPPED_RAD_PER_S;

  const advance = () => {
    const angle = y[STATE.angle]!;
    const speed = y[STATE.speed]!;
    const free = Math.min(LONGEST_STEP_S, LONGEST_STEP_RAD / Math.max(1, Math.abs(speed)));
    // The equations are discontinuous at a valve event, which the error estimate can miss.
    const toEvent = (APPROACH * model.toValveEvent(angle)) / Math.max(1e-9, speed);
    const longest = Math.min(free, Math.max(SKIP_S, toEvent));
    const h = stepper.step(longest);
    const top = cycleRad * tdcS.length;
    if (angle < top && y[STATE.angle]! >= top) {
      tdcS.push(timeS + crossing(angle, speed, y[STATE.angle]!, y[STATE.speed]!, h, top));
    }
    if (y[STATE.angle]! >= cycleRad * cycles + model.exhaustOpensRad) cycles++;
    timeS += h;
    record();
  };

  return {
    get timeS() {
      return timeS;
    },
    get releasedS() {
      return releasedS;
    },
    get angleDeg() {
      return (y[STATE.angle]! * 180) / Math.PI;
    },
    get cycles() {
      return cycles;
    },
    get rpm() {
      return (y[STATE.speed]! * 30) / Math.PI;
    },
    get stopped() {
      return stopped();
    },
    advanceTo: (untilS) => {
      while (timeS < untilS) advance();
    },
    release: () => {
      if (releasedS !== null) return;
      releasedS = timeS;
      model.engageStarter(false);
      stepper.restart();
    },
    tdcS,
    cylinderPa,
    gaugePa,
    firstPartial,
    state: y,
    ringMm2: model.ringMm2,
  };
}

/**
 * Time within a step of `h` seconds at which the angle passes `target`, by cubic interpolation of the angles and speeds
 * at both ends.
 */
function crossing(
  from: number,
  fromSpeed: number,
  to: number,
  toSpeed: number,
  h: number,
  target: number,
): number {
  let low = 0;
  let high = 1;
  for (let n = 0; n < 40; n++) {
    const s = (low + high) / 2;
    const r = 1 - s;
    const angle =
      r * r * ((1 + 2 * s) * from + s * h * fromSpeed) + s * s * ((1 + 2 * r) * to - r * h * toSpeed);
    if (angle < target) low = s;
    else high = s;
  }
  return ((low + high) / 2) * h;
}
