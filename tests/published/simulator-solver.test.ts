/**
 * The simulator's integration against Hairer's ODEX (npm `odex`, extrapolation of Gragg, Bulirsch and Stoer): the same
 * equations solved by another method.
 */
import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { startCranking } from '../../simulator/cranking.ts';
import { cylinderModel, STATE } from '../../simulator/cylinder.ts';
import { healthOf, makeEngine } from '../../simulator/engine.ts';
import { withFault } from '../../simulator/faults.ts';
import { CHECK_VALVE_RIG, OPEN_RIG, type Rig } from '../../simulator/rig.ts';

interface Solver {
  relativeTolerance: number;
  absoluteTolerance: number;
  maxSteps: number;
  solve(
    f: (x: number, y: number[]) => number[],
    x0: number,
    y0: number[],
    x1: number,
  ): { readonly y: number[]; readonly outcome: number };
}
// Its own types are a source file that does not pass this project's stricter checks.
const { Solver } = createRequire(import.meta.url)('odex') as { Solver: new (n: number) => Solver };

const sound = makeEngine({ layout: { kind: 'inline', rows: [[1, 2, 3, 4]] } });
const START_DEG = 200;
/** Two compression strokes. */
const END_S = 0.95;
const PIECES = 190;
/** ODEX's result code for a solution within tolerance. */
const CONVERGED = 0;

function byOdex(engine: typeof sound, rig: Rig): { cylinderPa: number; gaugePa: number; y: number[] } {
  const model = cylinderModel({
    engine,
    health: healthOf(engine, 1),
    rig,
    condition: 'dry',
    ambientKpa: 101.325,
    ambientKelvin: 293,
  });
  model.engageStarter(true);
  const start = model.atRest(((START_DEG - 720) * Math.PI) / 180);
  // ODEX has one absolute tolerance for all components, so each is scaled by its usual size.
  const scale = [1, 10, 1e-4, 300, 1e-5, 1, 0.1, 1e5, 1e-4, 100];
  const y = new Float64Array(start.length);
  const dy = new Float64Array(start.length);
  const slopes = (_: number, scaled: number[]): number[] => {
    for (let i = 0; i < y.length; i++) y[i] = scaled[i]! * scale[i]!;
    model.derivative(y, dy);
    return Array.from(dy, (d, i) => d / scale[i]!);
  };
  let state = Array.from(start, (v, i) => v / scale[i]!);
  // Solved in pieces: a high-order method loses accuracy where a valve opens, and recovers at the next start.
  for (let piece = 0; piece < PIECES; piece++) {
    const solver = new Solver(start.length);
    solver.relativeTolerance = 1e-8;
    solver.absoluteTolerance = 1e-8;
    solver.maxSteps = 2000;
    const from = (piece * END_S) / PIECES;
    const solved = solver.solve(slopes, from, state, from + END_S / PIECES);
    expect(solved.outcome).toBe(CONVERGED);
    state = solved.y;
  }
  const end = Float64Array.from(state, (v, i) => v * scale[i]!);
  return { cylinderPa: model.pressurePa(end), gaugePa: model.gaugePa(end), y: [...end] };
}

describe('cranking solved by two methods', () => {
  it.each([
    ['a sound cylinder, check-valve hose', sound, CHECK_VALVE_RIG],
    ['a sound cylinder, open hose', sound, OPEN_RIG],
    ['worn rings', withFault(sound, 'worn-rings', [1]), CHECK_VALVE_RIG],
    ['a leaking valve, open hose', withFault(sound, 'valve-leak', [1]), OPEN_RIG],
    ['a leaking hose', sound, { ...CHECK_VALVE_RIG, hoseLeakMm2: 0.1, checkBackMm2: 0.02 }],
  ])('agrees on %s', (_, engine, rig) => {
    const theirs = byOdex(engine, rig);
    const spec = {
      engine,
      cylinder: 1,
      condition: 'dry' as const,
      rig,
      startDeg: START_DEG,
      startS: 0,
      ambientKpa: 101.325,
      ambientKelvin: 293,
    };
    const tight = startCranking({ ...spec, tolerance: 1e-8 });
    tight.advanceTo(END_S);
    expect(Math.abs(tight.cylinderPa.at(END_S) / theirs.cylinderPa - 1)).toBeLessThan(1e-5);
    expect(Math.abs(tight.gaugePa.at(END_S) / theirs.gaugePa - 1)).toBeLessThan(1e-5);
    // Tops are compared: on a steep flank a tiny time difference is a large pressure difference.
    const usual = startCranking(spec);
    usual.advanceTo(END_S);
    const top = (run: typeof usual) => run.cylinderPa.largest(0, END_S).value;
    expect(Math.abs(top(usual) / top(tight) - 1)).toBeLessThan(2e-4);
    expect(theirs.y[STATE.angle]).toBeGreaterThan(4 * Math.PI - 1);
  });
});
