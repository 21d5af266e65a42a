import type { Fuel, Layout } from '../../worker/core/engine.ts';
import { cylindersOf, layoutFromName } from '../../worker/core/layouts.ts';
import type { Hose } from '../../worker/core/trace.ts';
import { UnusableInput } from '../../worker/file/unusable-input.ts';
import { DEMO_ENGINES } from '../demo-engines.ts';
import { type EngineOptions, makeEngine, type SimulatedEngine } from '../engine.ts';
import type { FaultKind } from '../faults.ts';
import { FAULT_KINDS, isCylinderFault, withFault } from '../faults.ts';
import { rigFor } from '../rig.ts';
import { ROTOR_FAULT_KINDS, type RotorFaultKind, withRotorFault } from '../rotor-faults.ts';
import type { TraceSpec } from '../simulate.ts';

/** Options of the command for `readArguments` of `worker/cli/arguments.ts`. */
export const SYNTAX = {
  flags: ['wet', 'absolute', 'truth', 'whole'],
  values: (
    'layout demo fuel cycle bore stroke rod ratio ivc rpm sag cylinder hose hose-cm3 adapter-cm3 hose-leak strokes ' +
    'start-deg ambient temperature rate noise offset resolution lag jitter max spikes loss dropout seed out count population'
  ).split(' '),
  lists: ['fault'],
  takesFiles: false,
};

/** Typed option values by name. */
export interface Typed {
  readonly [option: string]: string | boolean | readonly string[] | undefined;
}

function text(typed: Typed, name: string): string | undefined {
  const value = typed[name];
  return typeof value === 'string' ? value : undefined;
}

/** Value of a numeric option; `undefined` when it was not given. Throws `UnusableInput` outside `low` to `high`. */
export function number(typed: Typed, name: string, low: number, high: number): number | undefined {
  const given = text(typed, name);
  if (given === undefined) return undefined;
  const value = given.trim() === '' ? Number.NaN : Number(given);
  if (!(value >= low && value <= high)) {
    throw new UnusableInput(`--${name} takes a number from ${low} to ${high}, not "${given}".`);
  }
  return value;
}

/** Value of an integer option; `undefined` when it was not given. Throws `UnusableInput` outside `low` to `high`. */
export function whole(typed: Typed, name: string, low: number, high: number): number | undefined {
  const value = number(typed, name, low, high);
  if (value !== undefined && !Number.isInteger(value)) {
    throw new UnusableInput(`--${name} takes a whole number, not "${value}".`);
  }
  return value;
}

function oneOf<T extends string>(typed: Typed, name: string, allowed: readonly T[]): T | undefined {
  const given = text(typed, name);
  if (given === undefined) return undefined;
  const found = allowed.find((a) => a === given);
  if (!found) throw new UnusableInput(`--${name} takes ${allowed.join(' or ')}, not "${given}".`);
  return found;
}

/** Value of `--hose`; `undefined` when it was not given. Throws `UnusableInput`. */
export const hoseOf = (typed: Typed): Hose | undefined => oneOf(typed, 'hose', ['check-valve', 'open']);

/** Removes options that were not given, so that they do not override the defaults. */
function given<T extends object>(values: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(values).filter(([, v]) => v !== undefined)) as {
    [K in keyof T]: Exclude<T[K], undefined>;
  };
}

function layoutOf(typed: Typed): Layout {
  const name = text(typed, 'layout') ?? 'inline-4';
  const layout = layoutFromName(name);
  if (!layout)
    throw new UnusableInput(
      `--layout takes a name such as inline-4, v6, flat-2, radial-7 or rotary-2, not "${name}".`,
    );
  return layout;
}

function baseEngine(typed: Typed): SimulatedEngine {
  const id = text(typed, 'demo');
  if (id !== undefined) {
    const demo = DEMO_ENGINES.find((d) => d.id === id);
    if (!demo) throw new UnusableInput(`--demo takes one of ${DEMO_ENGINES.map((d) => d.id).join(', ')}.`);
    return demo.engine;
  }
  const cycle = oneOf(typed, 'cycle', ['4', '2']);
  const options: Partial<EngineOptions> = given({
    fuel: oneOf<Fuel>(typed, 'fuel', ['spark', 'diesel']),
    cycle: cycle === '2' ? 2 : cycle === '4' ? 4 : undefined,
    boreMm: number(typed, 'bore', 20, 300),
    strokeMm: number(typed, 'stroke', 20, 400),
    rodMm: number(typed, 'rod', 30, 900),
    compressionRatio: number(typed, 'ratio', 3, 30),
    intakeClosesDegAbdc: number(typed, 'ivc', 0, 120),
    drive: given({ crankingRpm: number(typed, 'rpm', 30, 1500), sagPer10S: number(typed, 'sag', 0, 0.5) }),
  });
  const engine = makeEngine({ ...options, layout: layoutOf(typed) });
  if (engine.rodMm <= engine.strokeMm / 2) {
    throw new UnusableInput(`--rod must be longer than half the stroke of ${engine.strokeMm} mm.`);
  }
  return engine;
}

/** One `--fault` option. `severity`: 0 to 1. */
export interface AskedFault {
  readonly kind: FaultKind | RotorFaultKind;
  readonly cylinders: readonly number[];
  readonly severity: number;
}

const isRotorFault = (kind: AskedFault['kind']): kind is RotorFaultKind =>
  ROTOR_FAULT_KINDS.some((one) => one === kind);

/** Parses KIND[:CYLINDERS[:SEVERITY]]. */
function readFault(words: string, engine: SimulatedEngine): AskedFault {
  const [name, where = '', how = '0.5', ...rest] = words.split(':');
  const isRotary = engine.layout.kind === 'rotors';
  const kinds: readonly AskedFault['kind'][] = isRotary
    ? [...ROTOR_FAULT_KINDS, 'weak-battery']
    : FAULT_KINDS;
  const kind = kinds.find((k) => k === name);
  if (!kind) {
    const whose = isRotary ? ' of a rotary engine' : '';
    throw new UnusableInput(`--fault${whose} knows ${kinds.join(', ')}, not "${name}".`);
  }
  const numbers = cylindersOf(engine.layout);
  const isOfOne = isRotorFault(kind) || isCylinderFault(kind);
  const cylinders = where === '' ? (isOfOne ? [numbers[0]!] : []) : where.split('+').map(Number);
  const stranger = cylinders.find((n) => !numbers.includes(n));
  if (stranger !== undefined) {
    const parts = isRotary ? 'rotors' : 'cylinders';
    throw new UnusableInput(`--fault ${words}: the engine has ${parts} ${numbers.join(', ')}.`);
  }
  const severity = how.trim() === '' ? Number.NaN : Number(how);
  if (!(severity >= 0 && severity <= 1) || rest.length > 0) {
    throw new UnusableInput(`--fault ${words}: severity is a number from 0 to 1.`);
  }
  return { kind, cylinders, severity };
}

/** Builds the requested engine with its faults. Throws `UnusableInput`. */
export function engineOf(typed: Typed): {
  readonly engine: SimulatedEngine;
  readonly faults: readonly AskedFault[];
} {
  const sound = baseEngine(typed);
  const asked = Array.isArray(typed.fault) ? (typed.fault as readonly string[]) : [];
  const faults = asked.map((words) => readFault(words, sound));
  const engine = faults.reduce(
    (e, { kind, cylinders, severity }) =>
      isRotorFault(kind)
        ? withRotorFault(e, kind, cylinders, severity)
        : withFault(e, kind, cylinders, severity),
    sound,
  );
  return { engine, faults };
}

/** Cylinders to capture: the requested one; otherwise all or the first. Throws `UnusableInput`. */
export function cylindersAsked(typed: Typed, engine: SimulatedEngine, all: boolean): number[] {
  const numbers = cylindersOf(engine.layout);
  const one = whole(typed, 'cylinder', 1, 99);
  if (one === undefined) return all ? numbers : numbers.slice(0, 1);
  if (!numbers.includes(one)) {
    throw new UnusableInput(`--cylinder ${one}: the engine has cylinders ${numbers.join(', ')}.`);
  }
  return [one];
}

function dropoutsOf(typed: Typed): { startS: number; endS: number }[] {
  const words = text(typed, 'dropout');
  if (words === undefined) return [];
  const match = /^(\d+(?:\.\d+)?)-(\d+(?:\.\d+)?)$/.exec(words);
  const [startS, endS] = [Number(match?.[1]), Number(match?.[2])];
  if (!(startS < endS)) throw new UnusableInput(`--dropout takes seconds such as 2.5-3.5, not "${words}".`);
  return [{ startS, endS }];
}

/** The requested capture, without cylinder, start angle and seed. Throws `UnusableInput`. */
export function captureOf(typed: Typed, engine: SimulatedEngine): Omit<TraceSpec, 'cylinder'> {
  if (typed.wet && engine.fuel === 'diesel') {
    throw new UnusableInput('--wet: never pour oil into a diesel; it can lock the cylinder or run away.');
  }
  const celsius = number(typed, 'temperature', -40, 60);
  return {
    engine,
    condition: typed.wet ? 'wet' : 'dry',
    rig: {
      ...rigFor(hoseOf(typed) ?? 'check-valve'),
      ...given({
        hoseCm3: number(typed, 'hose-cm3', 0.2, 200),
        adapterCm3: number(typed, 'adapter-cm3', 0, 50),
        hoseLeakMm2: number(typed, 'hose-leak', 0, 10),
      }),
    },
    strokes: whole(typed, 'strokes', 1, 200),
    ambientKpa: number(typed, 'ambient', 40, 110),
    ambientKelvin: celsius === undefined ? undefined : celsius + 273.15,
    sensor: given({
      rateHz: number(typed, 'rate', 5, 20000),
      noiseKpa: number(typed, 'noise', 0, 100),
      offsetKpa: number(typed, 'offset', -200, 200),
      resolutionKpa: number(typed, 'resolution', 0, 100),
      lagS: number(typed, 'lag', 0, 1),
      jitterS: number(typed, 'jitter', 0, 0.1),
      maxKpa: number(typed, 'max', 10, 50000) ?? (engine.fuel === 'diesel' ? 6000 : undefined),
      absolute: typed.absolute === true ? true : undefined,
    }),
    damage: given({
      spikes: whole(typed, 'spikes', 0, 1000),
      packetLoss: number(typed, 'loss', 0, 0.9),
      dropouts: dropoutsOf(typed),
    }),
  };
}
