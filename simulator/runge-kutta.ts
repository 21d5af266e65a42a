/**
 * Dormand and Prince's embedded Runge-Kutta pair of orders 5 and 4 with step control: Hairer, Norsett & Wanner, Solving
 * Ordinary Differential Equations I, table II.5.2 (recalled). The state is changed in place; nothing is allocated per step.
 */
export type Derivative = (y: Float64Array, dy: Float64Array) => void;

export interface Stepper {
  /** State after the last accepted step. May be changed between steps if `restart` is called then. */
  readonly y: Float64Array;
  readonly dy: Float64Array;
  /** One accepted step of at most `maxStep`; gives its length in seconds. */
  step(maxStep: number): number;
  /** Takes the derivative anew, after a jump in the state or in the equations. */
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
/** Shorter than this a step only circles a kink in the equations, and is taken as it is. */
const SHORTEST_S = 2e-7;

function add(to: Float64Array, slope: Float64Array, factor: number): void {
  if (factor === 0) return;
  for (let i = 0; i < to.length; i++) to[i] = to[i]! + factor * slope[i]!;
}

/**
 * `absolute[i] + relative * |y[i]|` is the error allowed to component `i` in one step; components with an infinite
 * `absolute` follow without a say.
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

  /** One trial step; gives the error over what is allowed. */
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
      // Outside the domain of the equations: no other component can make up for it.
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
        // A trial far beyond a jump may leave the domain of the equations: then `worst` is no number.
        const factor = worst >= 0 ? Math.min(4, Math.max(0.2, 0.9 * worst ** -0.2)) : 0.2;
        if (worst <= 1 || h <= SHORTEST_S) {
          // A step cut short by `maxStep` says little about the next one unless it asks for less.
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
