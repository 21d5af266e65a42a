import { type CylinderHealth, ORDINARY_BORE_MM, type SimulatedEngine } from './engine.ts';

/** What can be wrong with an engine. Faults of the gauge are the rig's and the sensor's (`rig.ts`). */
export type FaultKind =
  | 'worn-rings'
  | 'valve-leak'
  | 'gasket-leak'
  | 'carbon'
  | 'late-cam'
  | 'closed-throttle'
  | 'weak-battery';

export const FAULT_KINDS: readonly FaultKind[] = [
  'worn-rings',
  'valve-leak',
  'gasket-leak',
  'carbon',
  'late-cam',
  'closed-throttle',
  'weak-battery',
];

/** Faults that sit in single cylinders; the others touch all of them. */
export function isCylinderFault(kind: FaultKind): boolean {
  return kind === 'worn-rings' || kind === 'valve-leak' || kind === 'gasket-leak' || kind === 'carbon';
}

/**
 * One cylinder with a fault. `severity` from 0 (just noticeable) to 1 (severe); `size`: piston area over that of the
 * ordinary engine, since small cylinders have small leaks.
 */
function spoil(health: CylinderHealth, kind: FaultKind, severity: number, size: number): CylinderHealth {
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
 * The engine with a fault in `cylinders` (for a gasket leak: the two neighbours). Late cam, closed throttle and weak
 * battery touch the whole engine and take no cylinders.
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
              ? spoil(health, kind, severity, (engine.boreMm / ORDINARY_BORE_MM) ** 2)
              : health,
          ]),
        ),
      };
  }
}
