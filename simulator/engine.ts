import type { Fuel, Layout } from '../worker/core/engine.ts';
import type { Cycle } from '../worker/core/trace.ts';

/**
 * How one cylinder seals. Areas are effective ones, mm2: the discharge coefficient is included. A sound cylinder leaks
 * 0.4 to 0.8 mm2 in all, a faulty one 2 to 6.
 */
export interface CylinderHealth {
  /** Past the rings, once the oil film has built up. */
  readonly ringMm2: number;
  /** Ring leak of the first moment over the settled one, 1 or more. */
  readonly ringDryFactor: number;
  /** Pressure times time that builds two thirds of the film, kPa s. A sound stroke is worth about 40. */
  readonly ringSettlingKpaS: number;
  /** Past a valve that does not seat. */
  readonly valveMm2: number;
  /** Across the gasket to the neighbour, which has its plug out and so stands at ambient pressure. */
  readonly gasketMm2: number;
  /** Share of the clearance volume that deposits fill, 0 to 0.5. */
  readonly carbonShare: number;
}

/** Torques and inertia at the crank. See `starter.ts` for the motor. */
interface Drive {
  /** Speed at which a charged battery turns this engine, turns a minute. */
  readonly crankingRpm: number;
  /** Share of that speed lost in ten seconds of cranking, 0 to 0.5. */
  readonly sagPer10S: number;
  /** 1 charged; below about 0.6 the engine turns slowly. */
  readonly batteryStrength: number;
}

/** A whole engine to crank. Build it with `makeEngine`. */
export interface SimulatedEngine {
  readonly name: string;
  readonly layout: Layout;
  readonly cycle: Cycle;
  readonly fuel: Fuel;
  readonly boreMm: number;
  readonly strokeMm: number;
  readonly rodMm: number;
  /** Clean, without adapter. */
  readonly compressionRatio: number;
  /** Intake valve (or, with two strokes, exhaust port) closes: crank degrees after bottom dead centre. */
  readonly intakeClosesDegAbdc: number;
  /** Exhaust valve or port opens: crank degrees before bottom dead centre. */
  readonly exhaustOpensDegBbdc: number;
  /** How late the camshaft runs, crank degrees. */
  readonly camSlipDeg: number;
  /** Effective opening of the throttle, mm2; `null`: blocked wide open. */
  readonly throttleMm2: number | null;
  readonly wallKelvin: number;
  /** Heat to the walls over what Woschni's law gives; 0 for none. */
  readonly wallHeat: number;
  readonly drive: Drive;
  readonly cylinders: ReadonlyMap<number, CylinderHealth>;
}

/** Bore of the ordinary engine, to which leaks are given. */
export const ORDINARY_BORE_MM = 84;

export const SOUND_CYLINDER: CylinderHealth = {
  ringMm2: 0.5,
  ringDryFactor: 1.5,
  ringSettlingKpaS: 15,
  valveMm2: 0,
  gasketMm2: 0,
  carbonShare: 0,
};

export type EngineOptions = Partial<Omit<SimulatedEngine, 'cylinders' | 'drive' | 'layout'>> & {
  readonly layout: Layout;
  readonly drive?: Partial<Drive> | undefined;
  /** What sets single cylinders apart from a sound one. */
  readonly health?: Readonly<Record<number, Partial<CylinderHealth>>> | undefined;
  /** What all cylinders have in common. */
  readonly allCylinders?: Partial<CylinderHealth> | undefined;
};

/** Ordinary figures for a kind of engine, all of which `options` may replace. */
function ordinary(options: EngineOptions): Omit<SimulatedEngine, 'layout' | 'cylinders'> {
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

/** A sound engine of the given layout with `options` applied. Missing figures are ordinary ones for its kind. */
export function makeEngine(options: EngineOptions): SimulatedEngine {
  const base = ordinary(options);
  const { drive, health, allCylinders, ...own } = options;
  const numbers = options.layout.rows.flat();
  const engine = { ...base, ...own };
  // Rings leak along the bore.
  const ringMm2 = (SOUND_CYLINDER.ringMm2 * engine.boreMm) / ORDINARY_BORE_MM;
  return {
    ...engine,
    drive: { ...base.drive, ...drive },
    cylinders: new Map(
      numbers.map((n) => [n, { ...SOUND_CYLINDER, ringMm2, ...allCylinders, ...health?.[n] }]),
    ),
  };
}

/** The cylinder's health, or a `RangeError` when the engine has no such cylinder. */
export function healthOf(engine: SimulatedEngine, cylinder: number): CylinderHealth {
  const health = engine.cylinders.get(cylinder);
  if (!health) throw new RangeError(`The engine has no cylinder ${cylinder}.`);
  return health;
}

/** Crank turns per working cycle, degrees. */
export function cycleDeg(engine: Pick<SimulatedEngine, 'cycle'>): number {
  return engine.cycle === 4 ? 720 : 360;
}

/** How far cylinder `cylinder` runs behind the first one, degrees: even firing in the order of the numbers. */
export function phaseDeg(engine: SimulatedEngine, cylinder: number): number {
  const numbers = [...engine.cylinders.keys()].sort((a, b) => a - b);
  return (cycleDeg(engine) * Math.max(0, numbers.indexOf(cylinder))) / numbers.length;
}
