/**
 * Dormand and Prince's embedded Runge-Kutta pair of orders 5 and 4 with step control: Hairer, Norsett & Wanner, Solving
 * Ordinary Differential Equations I, table II.5.2 (recalled). The state is updated in place; steps allocate nothing.
 */

/** Writes the time derivative of the state `y` to `dy`. */
export type Derivative = (y: Float64Array, dy: Float64Array) => void;

/** An integration in progress. */
export interface Stepper {
  /** State after the last accepted step. After changing it, call `restart`. */
  readonly y: Float64Array;
  /** Derivative at `y`. */
  readonly dy: Float64Array;
  /** Takes one accepted step of at most `maxStep` seconds and returns its length. */
  step(maxStep: number): number;
  /** Evaluates the derivative again, after a discontinuity in the state or the equations. */
  restart(): void;
}

const A = [
  [1 / 5],
  [3 / 40, 9 / 40],
  [44 / 45, -56 / 15, 32 / 9],
  [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729],
  [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656],
  [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
].map((row) => Float64Array.from(row));
/** Fifth-order weights minus fourth-order ones. */
const E = Float64Array.from([71 / 57600, 0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40]);
/** Shortest step, accepted regardless of its error: it occurs only at a discontinuity of the equations. */
const SHORTEST_S = 2e-7;

function add(to: Float64Array, slope: Float64Array, factor: number): void {
  if (factor === 0) return;
  for (let i = 0; i < to.length; i++) to[i] = to[i]! + factor * slope[i]!;
}

/**
 * Creates a stepper. `absolute[i] + relative * |y[i]|` is the allowed error of component `i` in one step. Components with
 * an infinite `absolute` do not affect the step size.
 */
export function createStepper(
  start: Float64Array,
  derivative: Derivative,
  relative: number,
  absolute: Float64Array,
): Stepper {
  const n = start.length;
  const y = Float64Array.from(start);
  const trial = new Float64Array(n);
  const error = new Float64Array(n);
  const k = Array.from({ length: 7 }, () => new Float64Array(n));
  const dy = k[0]!;
  derivative(y, dy);
  let wanted = 1e-4;

  /** Computes a trial step and returns its error relative to the allowed one. */
  const attempt = (h: number): number => {
    for (let stage = 0; stage < 6; stage++) {
      const row = A[stage]!;
      trial.set(y);
      for (let j = 0; j <= stage; j++) add(trial, k[j]!, h * row[j]!);
      derivative(trial, k[stage + 1]!);
    }
    error.fill(0);
    for (let j = 0; j < 7; j++) add(error, k[j]!, h * E[j]!);
    let worst = 0;
    for (let i = 0; i < n; i++) {
      const share = Math.abs(error[i]!) / (absolute[i]! + relative * Math.abs(y[i]!));
      if (!(share <= worst)) worst = share;
      // Outside the domain of the equations: the step fails whatever the other components.
      if (Number.isNaN(share)) break;
    }
    return worst;
  };

  return {
    y,
    dy,
    restart: () => derivative(y, dy),
    step: (maxStep) => {
      for (;;) {
        const h = Math.min(wanted, maxStep);
        const worst = attempt(h);
        // A trial far beyond a discontinuity may leave the domain of the equations; `worst` is then NaN.
        const factor = worst >= 0 ? Math.min(4, Math.max(0.2, 0.9 * worst ** -0.2)) : 0.2;
        if (worst <= 1 || h <= SHORTEST_S) {
          // The error of a step limited by `maxStep` may only lengthen the wanted step.
          wanted = h < wanted ? Math.max(wanted, h * factor) : Math.max(SHORTEST_S, h * factor);
          y.set(trial);
          dy.set(k[6]!);
          return h;
        }
        wanted = h * factor;
      }
    },
  };
}
