import { type CylinderHealth, ORDINARY_BORE_MM, type SimulatedEngine } from './engine.ts';

/** Faults of an engine. Faults of the gauge belong to `Rig` and `Sensor`. */
export type FaultKind =
  /** Larger ring leak that decreases slowly as the oil film builds up. */
  | 'worn-rings'
  /** A valve that does not seat. */
  | 'valve-leak'
  /** A gasket that leaks to the neighbouring cylinder. */
  | 'gasket-leak'
  /** Deposits that reduce the clearance volume. */
  | 'carbon'
  /** A camshaft that runs late. */
  | 'late-cam'
  /** A throttle that is nearly closed. */
  | 'closed-throttle'
  /** A weak battery that also sags faster. */
  | 'weak-battery';

/** All kinds of fault. */
export const FAULT_KINDS: readonly FaultKind[] = [
  'worn-rings',
  'valve-leak',
  'gasket-leak',
  'carbon',
  'late-cam',
  'closed-throttle',
  'weak-battery',
];

/** Whether a fault belongs to single cylinders; the others affect the whole engine. */
export function isCylinderFault(kind: FaultKind): boolean {
  return kind === 'worn-rings' || kind === 'valve-leak' || kind === 'gasket-leak' || kind === 'carbon';
}

/**
 * Adds a fault to one cylinder. `severity`: 0 (just noticeable) to 1 (severe). `size`: piston area relative to the
 * default engine, because small cylinders have small leaks.
 */
function addFault(health: CylinderHealth, kind: FaultKind, severity: number, size: number): CylinderHealth {
  switch (kind) {
    case 'worn-rings':
      return {
        ...health,
        ringMm2: size * (1.6 + 2.4 * severity),
        ringDryFactor: 2.6 + 1.4 * severity,
        ringSettlingKpaS: 45,
      };
    case 'valve-leak':
      return { ...health, valveMm2: size * (1.6 + 4 * severity) };
    case 'gasket-leak':
      return { ...health, gasketMm2: size * (1.6 + 4 * severity) };
    case 'carbon':
      return { ...health, carbonShare: 0.1 + 0.15 * severity };
    default:
      return health;
  }
}

/**
 * Returns the engine with a fault in `cylinders` (for a gasket leak: the two neighbours). Late cam, closed throttle and
 * weak battery affect the whole engine and ignore `cylinders`. `severity`: 0 to 1.
 */
export function withFault(
  engine: SimulatedEngine,
  kind: FaultKind,
  cylinders: readonly number[] = [],
  severity = 0.5,
): SimulatedEngine {
  switch (kind) {
    case 'late-cam':
      return { ...engine, camSlipDeg: 18 + 22 * severity };
    case 'closed-throttle':
      return { ...engine, throttleMm2: 20 - 14 * severity };
    case 'weak-battery':
      return {
        ...engine,
        drive: { ...engine.drive, batteryStrength: 0.85 - 0.15 * severity, sagPer10S: 0.1 + 0.1 * severity },
      };
    default:
      return {
        ...engine,
        cylinders: new Map(
          [...engine.cylinders].map(([n, health]) => [
            n,
            cylinders.includes(n)
              ? addFault(health, kind, severity, (engine.boreMm / ORDINARY_BORE_MM) ** 2)
              : health,
          ]),
        ),
      };
  }
}
