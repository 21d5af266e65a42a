import type { SimulatedEngine } from './engine.ts';

/**
 * A rotor as the plug hole sees it. The volume of a face follows 1 - cos(2 a / 3), `a` the eccentric-shaft angle from
 * its smallest volume: the law of the epitrochoid (Yamamoto, Rotary Engine, 1981, recalled). Each face is at the hole for
 * one shaft turn, from -180 to 180 degrees; then the apex seal passes, and the next face is there. The chambers beside
 * it are near ambient then, so every leak goes to ambient.
 */
interface RotorLaw {
  /** Angle at which the next face has replaced the last one, rad, and the angle at which it leaves. */
  readonly closes: number;
  readonly opens: number;
  /** Absolute pressure of a face that arrives, relative to ambient: its port closed before. */
  readonly chargeRatio: number;
  /** Volume above the smallest one, as the travel of a piston of the engine's bore, m. */
  travel(a: number): number;
  /** Its derivative, m/rad. */
  travelRate(a: number): number;
  /** Additional leak of the face at the hole, m2; `angle` counts on from turn to turn. */
  faceM2(angle: number): number;
}

/** Angle in which the hose comes to the pressure of the arriving face, rad. */
const CHANGE_RAD = 0.2;
/** Exponent of the compression before the face arrives: heat and leaks are small there. */
const EXPONENT = 1.3;
/** Largest volume is this far before the smallest one. */
const LARGEST_RAD = 1.5 * Math.PI;

/** The law of a rotor. `clearanceM3`: smallest volume, rig included. */
export function rotorLaw(
  engine: SimulatedEngine,
  clearanceM3: number,
  faceMm2: readonly [number, number, number] = [0, 0, 0],
): RotorLaw {
  const stroke = engine.strokeMm / 1000;
  const areaM2 = Math.PI * (engine.boreMm / 2000) ** 2;
  const travel = (a: number): number => (stroke * (1 - Math.cos((2 * a) / 3))) / 2;
  const volume = (a: number): number => clearanceM3 + areaM2 * travel(a);
  const portCloses = -LARGEST_RAD + (engine.intakeClosesDegAbdc * Math.PI) / 180;
  const closes = -Math.PI + CHANGE_RAD;
  return {
    closes,
    opens: Math.PI - 0.02,
    chargeRatio: (volume(portCloses) / volume(Math.max(closes, portCloses))) ** EXPONENT,
    travel,
    travelRate: (a) => (stroke * Math.sin((2 * a) / 3)) / 3,
    faceM2: (angle) => {
      const turn = Math.floor(angle / (2 * Math.PI) + 0.5);
      return faceMm2[((turn % 3) + 3) % 3]! * 1e-6;
    },
  };
}
