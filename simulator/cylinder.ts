import type { Condition } from '../worker/core/trace.ts';
import type { CylinderHealth, SimulatedEngine } from './engine.ts';
import { heatCoefficient } from './family/heat-law.ts';
import { crevicePa, ringFlow } from './family/ring-pack.ts';
import { GAS_CONSTANT, heatCapacityV, holeFlow, internalEnergy } from './gas.ts';
import type { Rig } from './rig.ts';
import { rotorLaw } from './rotor.ts';
import type { Derivative } from './runge-kutta.ts';
import { pistonAreaMm2, sweptMm3 } from './slider-crank.ts';
import { currentShare, driveNm, frictionNm, type Starter, starterFor } from './starter.ts';

/** Indices of the state vector. SI units: rad, rad/s, kg, K, Pa, J. */
export const STATE = {
  /** Crank angle; multiples of the cycle are the tops of compression. */
  angle: 0,
  speed: 1,
  mass: 2,
  kelvin: 3,
  /** Gas behind the check valve. */
  hoseMass: 4,
  /** Oil film on the rings, 0 dry to 1 built up. */
  film: 5,
  polarisation: 6,
  manifoldPa: 7,
  /** Net mass into cylinder and hose, for checks of the balance. */
  massIn: 8,
  /** Net energy into the gas of the cylinder, for checks of the balance. */
  energyIn: 9,
  /** Gas between the rings; only with a ring pack. */
  creviceMass: 10,
} as const;
const STATE_SIZE = { oneLeak: 10, ringPack: 11 } as const;

/** Time constant with which an open valve equalises the pressure, s. */
const EVEN_OUT_S = 1.5e-3;
/** Oil that stays on the piston in a wet test, mm3, and its largest share of the clearance volume. */
const OIL_MM3 = 4000;
const OIL_SHARE = 0.025;
/** Ring leak of a wet cylinder as a share of the dry one. */
const WET_RING_SHARE = 0.4;
/** Share of their displacement that the other cylinders draw from a throttled manifold; plug holes supply the rest. */
const OTHERS_DRAW = 0.4;
/** Volume between throttle and valves as a share of the engine's displacement. */
const MANIFOLD_SHARE = 0.4;

/** One cylinder with its rig and surroundings. */
export interface CylinderSpec {
  readonly engine: SimulatedEngine;
  readonly health: CylinderHealth;
  readonly rig: Rig;
  readonly condition: Condition;
  readonly ambientKpa: number;
  readonly ambientKelvin: number;
}

/** Equations of one cylinder. `y` is the state vector (see `STATE`), `dy` its derivative. */
export interface CylinderModel {
  readonly derivative: Derivative;
  readonly starter: Starter;
  /** Angle between two compression strokes, rad. */
  readonly cycleRad: number;
  /** Angle from the top of compression to the opening of the exhaust valve or port, rad. */
  readonly exhaustOpensRad: number;
  /** Volume above the piston including the adapter, without an open hose, m3. */
  volumeM3(angle: number): number;
  /** Absolute pressure in the cylinder. */
  pressurePa(y: Float64Array): number;
  /** Rate of change of `pressurePa` at the last call of `derivative`, Pa/s. */
  pressureRate(): number;
  /** Absolute pressure at the sensor; with an open hose the cylinder's own. */
  gaugePa(y: Float64Array): number;
  /** Rate of change of `gaugePa`, Pa/s. */
  gaugeRate(y: Float64Array, dy: Float64Array): number;
  /** State at rest at `angle`, with ambient pressure everywhere. */
  atRest(angle: number): Float64Array;
  /** Angle from `angle` forwards to the next opening or closing of a valve, rad, above 0. */
  toValveEvent(angle: number): number;
  /** Whether the valves are closed at `angle`. */
  isClosed(angle: number): boolean;
  engageStarter(engaged: boolean): void;
  /** Effective leak of the rings with the oil film built up, in this condition. */
  readonly ringMm2: number;
}

/**
 * Models one cylinder on the starter as ordinary differential equations.
 *
 * Valves closed: one zone of air, wall heat after Woschni, leaks through holes. Valves open: at cranking speed they pass
 * the charge almost without loss, so the cylinder follows the port's pressure and the energy balance gives the flow. The
 * given angle of intake closing is that of about 1 mm lift.
 */
export function cylinderModel(spec: CylinderSpec): CylinderModel {
  const { engine, health, rig } = spec;
  const R = GAS_CONSTANT;
  const starter = starterFor(engine);
  const wet = spec.condition === 'wet';
  const open = rig.hose === 'open';
  const ambientPa = spec.ambientKpa * 1000;
  const ambientK = spec.ambientKelvin;
  const wallK = engine.wallKelvin;
  const ambientEnthalpy = internalEnergy(ambientK) + R * ambientK;

  const radius = engine.strokeMm / 2000;
  const rod = engine.rodMm / 1000;
  const pistonM2 = pistonAreaMm2(engine.boreMm) * 1e-6;
  const clean = sweptMm3(engine.boreMm, engine.strokeMm) / (engine.compressionRatio - 1);
  const oil = wet ? Math.min(OIL_MM3, OIL_SHARE * clean) : 0;
  const clearanceM3 = (clean * (1 - health.carbonShare) - oil + rig.adapterCm3 * 1000) * 1e-9;
  const hoseM3 = rig.hoseCm3 * 1e-6;
  const hosePaPerKg = (R * ambientK) / hoseM3;
  /** Mass that an open hose stores per pressure, kg/Pa. */
  const openHose = open ? hoseM3 / (R * ambientK) : 0;

  const cycleRad = engine.cycle === 4 ? 4 * Math.PI : 2 * Math.PI;
  const slip = (engine.camSlipDeg * Math.PI) / 180;
  const rotor = engine.layout.kind === 'rotors' ? rotorLaw(engine, clearanceM3, health.faceMm2) : null;
  const closes = rotor?.closes ?? -Math.PI + (engine.intakeClosesDegAbdc * Math.PI) / 180 + slip;
  const opens = rotor?.opens ?? Math.PI - (engine.exhaustOpensDegBbdc * Math.PI) / 180 + slip;
  const chargePa = ambientPa * (rotor?.chargeRatio ?? 1);
  const throttled = engine.throttleMm2 !== null;
  const throttleM2 = (engine.throttleMm2 ?? 0) * 1e-6;
  const engineM3 = sweptMm3(engine.boreMm, engine.strokeMm) * 1e-9 * engine.cylinders.size;
  const manifoldM3 = MANIFOLD_SHARE * engineM3;
  const othersM3PerRad = (OTHERS_DRAW * engineM3 * (1 - 1 / engine.cylinders.size)) / cycleRad;

  const ringMm2 = health.ringMm2 * (wet ? WET_RING_SHARE : 1);
  const ringM2 = ringMm2 * 1e-6;
  const dryExtra = (wet ? 0.3 : 1) * (health.ringDryFactor - 1);
  // A leak of an open hose is a leak of the cylinder.
  const otherM2 = (health.valveMm2 + health.gasketMm2 + (open ? rig.hoseLeakMm2 : 0)) * 1e-6;
  const settling = 1 / (health.ringSettlingKpaS * 1000);
  const checkM2 = rig.checkMm2 * 1e-6;
  const backM2 = rig.checkBackMm2 * 1e-6;
  const hoseLeakM2 = rig.hoseLeakMm2 * 1e-6;
  const opensPa = rig.checkOpensKpa * 1000;
  const fullPa = rig.checkFullKpa * 1000;

  const coefficient = heatCoefficient(engine.heatLaw ?? 'woschni', {
    boreM: engine.boreMm / 1000,
    crankRadiusM: radius,
    scale: engine.wallHeat,
  });
  const pack = engine.ringPack ?? null;
  const wallEnthalpy = internalEnergy(wallK) + R * wallK;
  const filmRad = (engine.filmTurns ?? 0) * 2 * Math.PI;
  const evenOutS = EVEN_OUT_S * (engine.portLoss ?? 1);
  const decompressor = engine.decompressor ?? { mm2: 0, closesDegBtdc: 180 };
  const decompressorM2 = decompressor.mm2 * 1e-6;
  const decompressorCloses = Math.max(closes, (-decompressor.closesDegBtdc * Math.PI) / 180);
  const headM2 = 2.2 * pistonM2;
  const linerM = (Math.PI * engine.boreMm) / 1000;

  let starterOn = false;
  let rate = 0;

  const fold = (angle: number): number => angle - cycleRad * Math.floor(angle / cycleRad + 0.5);
  const travel = (a: number): number => {
    if (rotor) return rotor.travel(fold(a));
    const across = radius * Math.sin(a);
    return rod + radius * (1 - Math.cos(a)) - Math.sqrt(rod * rod - across * across);
  };
  const volumeM3 = (angle: number): number => clearanceM3 + pistonM2 * travel(angle);
  const pressurePa = (y: Float64Array): number =>
    (y[STATE.mass]! * R * y[STATE.kelvin]!) / volumeM3(y[STATE.angle]!);

  const derivative: Derivative = (y, dy) => {
    const a = fold(y[0]!);
    const speed = y[1]!;
    const m = y[2]!;
    const T = y[3]!;
    const sin = Math.sin(a);
    const cos = Math.cos(a);
    const root = Math.sqrt(rod * rod - radius * radius * sin * sin);
    const x = rotor ? rotor.travel(a) : rod + radius * (1 - cos) - root;
    const V = clearanceM3 + pistonM2 * x;
    const dVda = pistonM2 * (rotor ? rotor.travelRate(a) : radius * sin * (1 + (radius * cos) / root));
    const dV = dVda * speed;
    const p = (m * R * T) / V;
    const cv = heatCapacityV(T);
    const u = internalEnergy(T);

    const heat = coefficient(p, T, V, speed) * (headM2 + linerM * x) * (wallK - T);
    const work = p * dV;

    // Change of pressure per kilogram: leaving at the state of the gas, or entering from the surroundings.
    const perOut = (p / m) * (1 + R / cv);
    const perIn = (p / m) * (1 + (ambientEnthalpy - u) / (cv * T));
    const perFromCrevice = (p / m) * (1 + (wallEnthalpy - u) / (cv * T));

    const closed = a > closes && a < opens;
    const ring = ringM2 * (1 + dryExtra * (1 - y[5]!));
    const faceM2 = rotor ? rotor.faceM2(y[0]!) : 0;
    const held = otherM2 + faceM2 + (a > closes && a < decompressorCloses ? decompressorM2 : 0);
    let toCrevice = 0;
    let fromCrevice = 0;
    if (pack) {
      const betweenPa = crevicePa(pack, y[10]!, wallK);
      const flow = ringFlow(pack, ring, p, T, betweenPa, wallK, ambientPa);
      toCrevice = flow.inKgPerS;
      fromCrevice = flow.outKgPerS;
    }
    const leak = holeFlow(pack ? held : ring + held, p, T, ambientPa, ambientK);

    // Flow into the hose through its check valve, or back through a leaking one.
    let toHose = 0;
    let hoseLoss = 0;
    if (!open) {
      const inHose = y[4]! * hosePaPerKg;
      const over = p - inHose - opensPa;
      if (over > 0) toHose = holeFlow(checkM2 * Math.min(1, over / fullPa), p, T, inHose, ambientK);
      else if (backM2 > 0) toHose = holeFlow(backM2, p, T, inHose, ambientK);
      if (hoseLeakM2 > 0) hoseLoss = holeFlow(hoseLeakM2, inHose, ambientK, ambientPa, ambientK);
    }
    const unported =
      p * ((heat - work) / (m * cv * T) - dV / V) -
      leak * (leak > 0 ? perOut : perIn) -
      toHose * (toHose > 0 ? perOut : perIn) -
      toCrevice * (toCrevice > 0 ? perOut : perFromCrevice);

    // An open hose has the cylinder's pressure at its own temperature, so it stores gas as the pressure rises.
    let port = 0;
    let dp: number;
    if (closed) {
      dp = unported / (1 + openHose * (unported > 0 ? perOut : perIn));
    } else {
      const portPa = a >= closes ? ambientPa : throttled ? y[7]! : chargePa;
      dp = (portPa - p) / evenOutS;
      const need = dp * (1 + openHose * (dp > 0 ? perOut : perIn)) - unported;
      port = need / (need > 0 ? perIn : perOut);
    }
    rate = dp;
    const intoOpenHose = openHose * dp;
    const inMass = port - leak - toHose - intoOpenHose - toCrevice;
    const inEnthalpy =
      Math.max(0, port) * ambientEnthalpy +
      (Math.max(0, -leak) + Math.max(0, -toHose) + Math.max(0, -intoOpenHose)) * ambientEnthalpy -
      (Math.max(0, -port) + Math.max(0, leak) + Math.max(0, toHose) + Math.max(0, intoOpenHose)) *
        (u + R * T) -
      (toCrevice > 0 ? toCrevice * (u + R * T) : toCrevice * wallEnthalpy);

    const gasNm = (p - ambientPa) * dVda;
    const drive = starterOn ? driveNm(starter, speed, y[6]!) : 0;
    const current = starterOn ? currentShare(starter, speed, y[6]!) : 0;
    const energy = inEnthalpy + heat - work;
    dy[0] = speed;
    dy[1] = (drive + gasNm - frictionNm(starter, speed)) / starter.inertiaKgM2;
    dy[2] = inMass;
    dy[3] = (energy - inMass * u) / (m * cv);
    dy[4] = toHose - hoseLoss;
    dy[5] =
      filmRad > 0
        ? ((1 - y[5]!) * Math.abs(speed)) / filmRad
        : closed && p > ambientPa
          ? (1 - y[5]!) * (p - ambientPa) * settling
          : 0;
    dy[6] = (current * starter.polarisation - y[6]!) / starter.polarisationS;
    dy[7] = throttled
      ? ((holeFlow(throttleM2, ambientPa, ambientK, y[7]!, ambientK) - (a < closes && !closed ? port : 0)) *
          R *
          ambientK -
          y[7]! * othersM3PerRad * Math.abs(speed)) /
        manifoldM3
      : 0;
    dy[8] = port - leak - hoseLoss - toCrevice;
    dy[9] = energy;
    if (pack) dy[10] = toCrevice - fromCrevice;
  };

  return {
    derivative,
    starter,
    cycleRad,
    exhaustOpensRad: opens,
    volumeM3,
    pressurePa,
    pressureRate: () => rate,
    gaugePa: (y) => (open ? pressurePa(y) : y[STATE.hoseMass]! * hosePaPerKg),
    gaugeRate: (_, dy) => (open ? rate : dy[STATE.hoseMass]! * hosePaPerKg),
    atRest: (angle) => {
      const y = new Float64Array(pack ? STATE_SIZE.ringPack : STATE_SIZE.oneLeak);
      y[STATE.angle] = angle;
      y[STATE.kelvin] = wallK;
      y[STATE.mass] = (ambientPa * volumeM3(angle)) / (R * wallK);
      y[STATE.hoseMass] = (ambientPa * hoseM3) / (R * ambientK);
      y[STATE.manifoldPa] = ambientPa;
      if (pack) y[STATE.creviceMass] = (ambientPa * pack.creviceCm3 * 1e-6) / (R * wallK);
      return y;
    },
    toValveEvent: (angle) => {
      const a = fold(angle);
      if (a > closes && a < decompressorCloses) return decompressorCloses - a;
      return a < closes ? closes - a : a < opens ? opens - a : cycleRad / 2 - a;
    },
    isClosed: (angle) => fold(angle) > closes && fold(angle) < opens,
    engageStarter: (engaged) => {
      starterOn = engaged;
    },
    ringMm2,
  };
}
