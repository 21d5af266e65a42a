/** Mechanics of a pointer: second-order, driven by the pressure. */
export interface Pointer {
  /** Undamped natural frequency, Hz. */
  readonly naturalHz: number;
  /** Overshoot of a step as a share of the step, above 0. */
  readonly overshoot: number;
}

/** Pointer position over time, in the unit of the pressure, on a fixed grid of `STEP_S`. */
export interface PointerPath {
  readonly positions: Float64Array;
  /** Position at a time; the first or last one outside. */
  at(timeS: number): number;
  /** Mean position from `fromS` to `toS`. */
  mean(fromS: number, toS: number): number;
  /** Highest position up to a time: where the pointer left a follower. */
  highest(timeS: number): number;
}

const STEP_S = 0.0005;

/** Moves a pointer from rest at 0 after `pressure` (any unit). It rests on a stop at 0. */
export function movePointer(
  pointer: Pointer,
  pressure: (timeS: number) => number,
  endS: number,
): PointerPath {
  const log = Math.log(pointer.overshoot);
  const damping = -log / Math.hypot(Math.PI, log);
  const omega = 2 * Math.PI * pointer.naturalHz;
  const count = Math.ceil(endS / STEP_S) + 1;
  const positions = new Float64Array(count);
  const highest = new Float64Array(count);
  const sums = new Float64Array(count + 1);
  let [x, v, top] = [0, 0, 0];
  for (let i = 0; i < count; i++) {
    v += (omega * omega * (pressure(i * STEP_S) - x) - 2 * damping * omega * v) * STEP_S;
    x += v * STEP_S;
    if (x < 0) [x, v] = [0, 0];
    top = Math.max(top, x);
    positions[i] = x;
    highest[i] = top;
    sums[i + 1] = sums[i]! + x;
  }
  const index = (timeS: number) => Math.min(count - 1, Math.max(0, Math.round(timeS / STEP_S)));
  return {
    positions,
    at: (timeS) => positions[index(timeS)]!,
    highest: (timeS) => highest[index(timeS)]!,
    mean: (fromS, toS) => {
      const [from, to] = [index(fromS), index(toS)];
      return (sums[to + 1]! - sums[from]!) / (to + 1 - from);
    },
  };
}
