import type { Fuel, Layout } from '../worker/core/engine.ts';
import type { Cycle } from '../worker/core/trace.ts';
import type { HeatLaw } from './family/heat-law.ts';
import type { RingPack } from './family/ring-pack.ts';

/**
 * Sealing of one cylinder. Areas are effective, in mm2: the discharge coefficient is included. A sound cylinder leaks
 * 0.4 to 0.8 mm2 in total, a faulty one 2 to 6.
 */
export interface CylinderHealth {
  /** Leak past the rings once the oil film has built up. */
  readonly ringMm2: number;
  /** Initial ring leak relative to `ringMm2`, 1 or more. */
  readonly ringDryFactor: number;
  /** Pressure times time that builds two thirds of the film, kPa s. A sound stroke contributes about 40. */
  readonly ringSettlingKpaS: number;
  /** Leak past a valve that does not seat. */
  readonly valveMm2: number;
  /** Leak across the gasket to the neighbour, which has its plug out and so is at ambient pressure. */
  readonly gasketMm2: number;
  /** Share of the clearance volume filled by deposits, 0 to 0.5. */
  readonly carbonShare: number;
  /** Rotor only: leak of each of its three faces in addition, mm2, in the order in which they pass the plug hole. */
  readonly faceMm2?: readonly [number, number, number] | undefined;
}

/** Starter and battery; the motor model is in `starter.ts`. */
interface Drive {
  /** Cranking speed of this engine with a charged battery. */
  readonly crankingRpm: number;
  /** Share of that speed lost in ten seconds of cranking, 0 to 0.5. */
  readonly sagPer10S: number;
  /** State of the battery: 1 charged; below about 0.6 the engine turns slowly. */
  readonly batteryStrength: number;
  /** Stall torque, inertia and friction relative to those of an ordinary starter and crank; 1 when omitted. */
  readonly stallShare?: number | undefined;
  readonly inertiaShare?: number | undefined;
  readonly frictionShare?: number | undefined;
}

/** An exhaust valve held off its seat while the engine cranks, until some way before the top of compression. */
interface Decompressor {
  readonly mm2: number;
  readonly closesDegBtdc: number;
}

/** An engine to simulate, built by `makeEngine`. */
export interface SimulatedEngine {
  readonly name: string;
  readonly layout: Layout;
  readonly cycle: Cycle;
  readonly fuel: Fuel;
  readonly boreMm: number;
  readonly strokeMm: number;
  readonly rodMm: number;
  /** Without deposits and without adapter. */
  readonly compressionRatio: number;
  /** Intake valve (or, with two strokes, exhaust port) closes: crank degrees after bottom dead centre. */
  readonly intakeClosesDegAbdc: number;
  /** Exhaust valve or port opens: crank degrees before bottom dead centre. */
  readonly exhaustOpensDegBbdc: number;
  /** Delay of the camshaft, crank degrees. */
  readonly camSlipDeg: number;
  /** Effective opening of the throttle, mm2; `null`: held wide open. */
  readonly throttleMm2: number | null;
  readonly wallKelvin: number;
  /** Wall heat relative to `heatLaw`; 0 for none. */
  readonly wallHeat: number;
  /** Default `woschni`. */
  readonly heatLaw?: HeatLaw | undefined;
  /** Rings with a crevice between them; omitted: one leak. */
  readonly ringPack?: RingPack | undefined;
  /** Turns in which the oil film builds two thirds, whatever the pressure; omitted: it builds with pressure and time. */
  readonly filmTurns?: number | undefined;
  /** Time in which open valves or ports equalise the pressure, relative to the default; 1 when omitted. */
  readonly portLoss?: number | undefined;
  /** Compression release; omitted: none. */
  readonly decompressor?: Decompressor | undefined;
  readonly drive: Drive;
  readonly cylinders: ReadonlyMap<number, CylinderHealth>;
}

/** Bore of the default engine; leaks refer to it. */
export const ORDINARY_BORE_MM = 84;

/** A sound cylinder of the default bore. */
export const SOUND_CYLINDER: CylinderHealth = {
  ringMm2: 0.5,
  ringDryFactor: 1.5,
  ringSettlingKpaS: 15,
  valveMm2: 0,
  gasketMm2: 0,
  carbonShare: 0,
};

/** Options of `makeEngine`; only the layout is required. */
export type EngineOptions = Partial<Omit<SimulatedEngine, 'cylinders' | 'drive' | 'layout'>> & {
  readonly layout: Layout;
  readonly drive?: Partial<Drive> | undefined;
  /** Deviations of single cylinders, by cylinder number; they override `allCylinders`. */
  readonly health?: Readonly<Record<number, Partial<CylinderHealth>>> | undefined;
  /** Deviations of all cylinders. */
  readonly allCylinders?: Partial<CylinderHealth> | undefined;
};

/** Defaults by cycle and fuel. */
function defaultsFor(options: EngineOptions): Omit<SimulatedEngine, 'layout' | 'cylinders'> {
  const cycle = options.cycle ?? 4;
  const diesel = options.fuel === 'diesel';
  const small = cycle === 2;
  return {
    name: options.name ?? 'Simulated engine',
    cycle,
    fuel: options.fuel ?? 'spark',
    boreMm: small ? 54 : ORDINARY_BORE_MM,
    strokeMm: small ? 54 : diesel ? 92 : 86,
    rodMm: small ? 100 : 143.5,
    compressionRatio: diesel ? 17 : small ? 12 : 9.2,
    intakeClosesDegAbdc: diesel ? 30 : small ? 82 : 62,
    exhaustOpensDegBbdc: small ? 85 : 45,
    camSlipDeg: 0,
    throttleMm2: null,
    wallKelvin: 340,
    wallHeat: 1,
    drive: { crankingRpm: small ? 350 : diesel ? 220 : 250, sagPer10S: 0.05, batteryStrength: 1 },
  };
}

/**
 * A rotor of 654 cm3 a face: bore and stroke of that swept volume, for wall areas. `intakeClosesDegAbdc` in
 * eccentric-shaft degrees after the largest volume, which is 270 degrees before the top. The seals' leak is set so that
 * a sound rotor reads about 830 kPa at 250 rpm.
 */
const ROTOR = {
  cycle: 2,
  boreMm: 100,
  strokeMm: 83.3,
  compressionRatio: 10,
  intakeClosesDegAbdc: 50,
  exhaustOpensDegBbdc: 0,
} as const;
const ROTOR_SEALS_MM2 = 2.7;
const ROTOR_DRIVE = { crankingRpm: 250, sagPer10S: 0.05, batteryStrength: 1 };

/** Builds a sound engine with `options` applied. Missing figures take the defaults for its cycle and fuel. */
export function makeEngine(options: EngineOptions): SimulatedEngine {
  const rotor = options.layout.kind === 'rotors';
  const base = { ...defaultsFor(options), ...(rotor && ROTOR), ...(rotor && { drive: ROTOR_DRIVE }) };
  const { drive, health, allCylinders, ...own } = options;
  const numbers = options.layout.rows.flat();
  const engine = { ...base, ...own };
  // The ring leak scales with the circumference of the bore.
  const ringMm2 = rotor ? ROTOR_SEALS_MM2 : (SOUND_CYLINDER.ringMm2 * engine.boreMm) / ORDINARY_BORE_MM;
  return {
    ...engine,
    drive: { ...base.drive, ...drive },
    cylinders: new Map(
      numbers.map((n) => [n, { ...SOUND_CYLINDER, ringMm2, ...allCylinders, ...health?.[n] }]),
    ),
  };
}

/** Health of a cylinder. Throws a `RangeError` when the engine has no such cylinder. */
export function healthOf(engine: SimulatedEngine, cylinder: number): CylinderHealth {
  const health = engine.cylinders.get(cylinder);
  if (!health) throw new RangeError(`The engine has no cylinder ${cylinder}.`);
  return health;
}

/** Crank angle of a working cycle, degrees. */
export function cycleDeg(engine: Pick<SimulatedEngine, 'cycle'>): number {
  return engine.cycle === 4 ? 720 : 360;
}

/** Crank angle by which a cylinder lags the first one, degrees, for even firing in numerical order. */
export function phaseDeg(engine: SimulatedEngine, cylinder: number): number {
  const numbers = [...engine.cylinders.keys()].sort((a, b) => a - b);
  return (cycleDeg(engine) * Math.max(0, numbers.indexOf(cylinder))) / numbers.length;
}
