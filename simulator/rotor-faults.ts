import type { CylinderHealth, SimulatedEngine } from './engine.ts';

/**
 * Faults of a rotor. `apex-seal`: leaks between two faces, so both are low. `side-seal`: one face is low. `worn-housing`:
 * all are.
 */
export type RotorFaultKind = 'apex-seal' | 'side-seal' | 'worn-housing';

/** All kinds of fault of a rotor. */
export const ROTOR_FAULT_KINDS: readonly RotorFaultKind[] = ['apex-seal', 'side-seal', 'worn-housing'];

/** Adds a fault to `rotors`. `severity`: 0 (just noticeable) to 1 (severe). `face`: index of the first low face, 0 to 2. */
export function withRotorFault(
  engine: SimulatedEngine,
  kind: RotorFaultKind,
  rotors: readonly number[],
  severity = 0.5,
  face = 1,
): SimulatedEngine {
  const faulty = (health: CylinderHealth): CylinderHealth => {
    if (kind === 'worn-housing') return { ...health, ringMm2: health.ringMm2 * (1.5 + 0.8 * severity) };
    const mm2 = 0.8 + 1.6 * severity;
    const low = kind === 'apex-seal' ? [face, (face + 1) % 3] : [face];
    const at = (f: number): number => (low.includes(f) ? mm2 : 0);
    return { ...health, faceMm2: [at(0), at(1), at(2)] };
  };
  return {
    ...engine,
    cylinders: new Map(
      [...engine.cylinders].map(([n, health]) => [n, rotors.includes(n) ? faulty(health) : health]),
    ),
  };
}
