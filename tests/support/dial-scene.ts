/** A plain rendered dial, and its frames as pictures for the reader. */
import { type DialFrame, renderClip } from '../../simulator/dial/clip.ts';
import type { DialScene } from '../../simulator/dial/scene.ts';
import type { Picture } from '../../worker/dial/picture.ts';

/** 0 to 300 psi in good light, the camera almost square to it. */
export const PLAIN_SCENE: DialScene = {
  face: {
    unit: 'psi',
    fullScale: 300,
    division: 5,
    divisionsPerMajor: 10,
    startDeg: 135,
    sweepDeg: 270,
    numbers: true,
    paper: 210,
    ink: 30,
    innerScale: false,
  },
  pose: {
    centreXPx: 320,
    centreYPx: 240,
    radiusPx: 190,
    distance: 6,
    tiltDeg: 8,
    tiltTowardsDeg: 40,
    rollDeg: 4,
  },
  pointer: { naturalHz: 12, overshoot: 0.06 },
  needleHeight: 0.05,
  needleLength: 0.8,
  needleHalfWidth: 0.02,
  needleLuma: 25,
  follower: false,
  shadow: { x: 0.03, y: 0.03, share: 0.2 },
  frameHz: 30,
  exposureS: 0.005,
  blurPx: 0.5,
  noise: 2,
  light: 0.95,
  lightSlope: 0.1,
  shakePx: 1,
  vibrationPx: 0.3,
  bump: null,
  droppedShare: 0,
  spots: [],
  seed: 1,
};

/** The frame as the reader takes it. */
export function pictureOf({ width, height, luma, cr }: DialFrame): Picture {
  return { width, height, luma, cr };
}

/** The first frame of a scene, whose needle is at `value`. */
export function stillOf(scene: DialScene, value = 0): Picture {
  const pressure = () => value;
  // Long after the start the needle has come to rest; the seed's first frame is as good as any.
  if (value === 0) return pictureOf(renderClip(scene, pressure, 0.1).next().value!);
  const late = { ...scene, pointer: { naturalHz: 400, overshoot: 0.0001 } };
  const frames = [...renderClip(late, pressure, 0.1)];
  return pictureOf(frames.at(-1)!);
}

/** Steps up to each level in turn, one every `everyS` seconds from 0.2 s on, each in 40 ms. */
export function stepsTo(levels: readonly number[], everyS: number): (timeS: number) => number {
  return (timeS) =>
    levels.reduce((level, next, i) => {
      const share = Math.min(1, Math.max(0, (timeS - 0.2 - i * everyS) / 0.04));
      return level + (next - (levels[i - 1] ?? 0)) * share;
    }, 0);
}
