import { fromKpa } from '../../worker/core/units.ts';
import { crankCylinder } from '../crank.ts';
import { specimen } from '../population.ts';
import { createRandom, type Random } from '../random.ts';
import { asBuilt, type DialBuild } from './dial-build.ts';
import type { DialFace } from './face.ts';
import type { DialScene, Spot } from './scene.ts';

/** Conditions that a random scene is drawn for. `faults`: a hand, a bump or glare over the needle. */
export type Light = 'good' | 'poor' | 'faults';

/** A scene with its pressure. */
export interface DialTake {
  readonly scene: DialScene;
  /** Pressure in the gauge over time, in the dial's unit. */
  readonly pressure: (timeS: number) => number;
  readonly endS: number;
  /** Level held after each stroke, in the dial's unit. */
  readonly levels: readonly number[];
}

const SCALES: readonly Pick<DialFace, 'unit' | 'fullScale' | 'division' | 'divisionsPerMajor'>[] = [
  { unit: 'psi', fullScale: 300, division: 5, divisionsPerMajor: 10 },
  { unit: 'psi', fullScale: 300, division: 10, divisionsPerMajor: 5 },
  { unit: 'bar', fullScale: 20, division: 0.5, divisionsPerMajor: 4 },
  { unit: 'bar', fullScale: 25, division: 0.5, divisionsPerMajor: 10 },
  { unit: 'kPa', fullScale: 2000, division: 50, divisionsPerMajor: 4 },
  { unit: 'kgf/cm2', fullScale: 21, division: 0.5, divisionsPerMajor: 6 },
];

/** Last compression in a clip, s, and how long the clip goes on: the needle settles, and the next one is not near. */
const LONGEST_S = 2.9;
const AFTER_TDC_S = 0.2;

/** Draws a scene of a dial of a kind, with a cranking of the simulator's population behind it. */
export function randomDialTake(seed: number, light: Light, build: DialBuild = 'usual'): DialTake {
  const random = createRandom(seed).fork(77);
  const { scene: usual, unit, fullScale } = randomScene(random, seed, light);
  const scene = asBuilt(usual, build, createRandom(seed).fork(78));
  const { spec } = specimen(seed % 997, { hose: 'check-valve', seed: 4100 });
  const strokes = 4 + random.index(4);
  const run = crankCylinder({ ...spec, strokes, crankS: undefined, restBeforeS: 0.35, restAfterS: 0.3 });
  const levelsKpa = run.truth.levelsKpa ?? [];
  const seenTdcS = run.truth.tdcS.slice(0, levelsKpa.length).filter((t) => t < LONGEST_S);
  // An engine too strong for the dial is scaled to it.
  const top = fromKpa(levelsKpa.at(-1) ?? 0, unit);
  const scale = top > 0.9 * fullScale ? (0.9 * fullScale) / top : 1;
  const inUnit = (kpa: number) => fromKpa(kpa, unit) * scale;
  return {
    scene,
    pressure: (t) => Math.max(0, inUnit(run.gaugePa.at(t) / 1000 - run.ambientKpa)),
    endS: Math.min(run.endS, (seenTdcS.at(-1) ?? LONGEST_S) + AFTER_TDC_S),
    levels: levelsKpa.slice(0, seenTdcS.length).map(inUnit),
  };
}

function randomScene(random: Random, seed: number, light: Light) {
  const isPoor = light === 'poor';
  const scale = random.pick(SCALES);
  const sweepDeg = random.pick([270, 270, 250, 300]);
  const radiusPx = random.between(125, 225);
  const brightness = isPoor ? random.between(0.3, 0.6) : random.between(0.75, 1.05);
  const frameHz = random.pick([30, 30, 60]);
  const face: DialFace = {
    ...scale,
    startDeg: 90 + (360 - sweepDeg) / 2,
    sweepDeg,
    numbers: random.chance(0.8),
    paper: random.between(185, 225),
    ink: random.between(15, 45),
    innerScale: random.chance(0.4),
  };
  const scene: DialScene = {
    face,
    pose: {
      centreXPx: 320 + random.between(-20, 20),
      centreYPx: 240 + random.between(-12, 12),
      radiusPx,
      distance: random.between(5, 9),
      tiltDeg: random.between(0, isPoor ? 28 : 20),
      tiltTowardsDeg: random.between(0, 360),
      rollDeg: random.between(-15, 15),
    },
    pointer: { naturalHz: random.between(9, 15), overshoot: random.between(0.01, 0.12) },
    needleHeight: random.between(0.02, 0.08),
    needleLength: random.between(0.72, 0.86),
    needleHalfWidth: random.between(0.014, 0.026),
    needleLuma: random.between(15, 40),
    follower: random.chance(0.25),
    shadow: {
      x: random.between(-0.06, 0.06),
      y: random.between(-0.06, 0.06),
      share: random.chance(0.6) ? random.between(0.1, 0.3) : 0,
    },
    frameHz,
    exposureS: isPoor ? Math.min(0.9 / frameHz, random.between(0.012, 0.028)) : random.between(0.002, 0.01),
    blurPx: isPoor ? random.between(0.6, 1.8) : random.between(0.2, 1),
    noise: isPoor ? random.between(4, 9) : random.between(1, 3),
    light: brightness,
    lightSlope: random.between(-0.3, 0.3),
    shakePx: random.between(0, isPoor ? 6 : 4),
    vibrationPx: random.between(0, isPoor ? 1.2 : 0.7),
    bump:
      light === 'faults' && random.chance(0.4)
        ? { atS: random.between(0.8, 2), px: random.between(8, 30) }
        : null,
    droppedShare: isPoor ? random.between(0, 0.06) : random.between(0, 0.02),
    spots: spotsOf(random, light),
    seed,
  };
  return { scene, unit: face.unit, fullScale: face.fullScale };
}

function spotsOf(random: Random, light: Light): Spot[] {
  const spots: Spot[] = [];
  const place = () => ({ x: random.between(-0.6, 0.6), y: random.between(-0.6, 0.6) });
  const still = { speedX: 0, speedY: 0, fromS: 0, toS: 99 };
  if (random.chance(0.3)) {
    spots.push({
      kind: 'glare',
      ...place(),
      ...still,
      radius: random.between(0.08, 0.2),
      strength: random.between(20, 90),
    });
  }
  if (random.chance(light === 'poor' ? 0.6 : 0.3)) {
    spots.push({
      kind: 'reflection',
      ...place(),
      speedX: random.between(-0.5, 0.5),
      speedY: random.between(-0.5, 0.5),
      fromS: random.between(0.4, 1),
      toS: 99,
      radius: random.between(0.1, 0.35),
      strength: random.between(10, light === 'poor' ? 60 : 40),
    });
  }
  if (light !== 'faults') return spots;
  const fromS = random.between(0.6, 2);
  const span = { fromS, toS: fromS + random.between(0.2, 0.8) };
  const at = place();
  if (random.chance(0.6)) {
    spots.push({
      kind: 'hand',
      ...at,
      speedX: random.between(-0.8, 0.8),
      speedY: random.between(-0.8, 0.8),
      ...span,
      radius: random.between(0.3, 0.8),
      strength: 0,
    });
  } else {
    spots.push({
      kind: 'glare',
      ...at,
      speedX: 0,
      speedY: 0,
      ...span,
      radius: random.between(0.3, 0.9),
      strength: random.between(120, 250),
    });
  }
  return spots;
}
