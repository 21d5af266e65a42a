import { expect, test } from 'vitest';
import { renderClip } from '../../simulator/dial/clip.ts';
import { movePointer } from '../../simulator/dial/needle-motion.ts';
import { homographyAt, invert, project } from '../../simulator/dial/pose.ts';
import { randomDialTake } from '../../simulator/dial/random-scene.ts';
import { PLAIN_SCENE } from '../support/dial-scene.ts';

test('the same seed gives the same frames, another seed others', () => {
  const bytes = (seed: number) => renderClip({ ...PLAIN_SCENE, seed }, () => 40, 0.04).next().value!.luma;
  expect(Buffer.compare(bytes(5), bytes(5))).toBe(0);
  expect(Buffer.compare(bytes(5), bytes(6))).not.toBe(0);
});

test('a needle overshoots a step by its share and settles on it', () => {
  const path = movePointer({ naturalHz: 12, overshoot: 0.1 }, () => 100, 1);
  expect(Math.max(...path.positions)).toBeCloseTo(110, 0);
  expect(path.at(0.9)).toBeCloseTo(100, 1);
  expect(path.highest(0.9)).toBeCloseTo(110, 0);
});

test('a tilted view shifts the hub of a needle above the face, and nothing without tilt', () => {
  const shift = (tiltDeg: number) => {
    const pose = { ...PLAIN_SCENE.pose, tiltDeg };
    const [face, above] = [0, 0.06].map((height) => project(homographyAt(pose, height), 0, 0));
    return Math.hypot(above![0] - face![0], above![1] - face![1]);
  };
  expect(shift(0)).toBeLessThan(1e-9);
  // 0.06 sin(25 degrees) of a radius of 190 pixels.
  expect(shift(25)).toBeCloseTo(4.8, 0);
});

test('a homography and its inverse undo each other', () => {
  const h = homographyAt({ ...PLAIN_SCENE.pose, tiltDeg: 20 }, 0.03);
  const [x, y] = project(h, 0.3, -0.5);
  const back = project(invert(h), x, y);
  expect(back[0]).toBeCloseTo(0.3, 9);
  expect(back[1]).toBeCloseTo(-0.5, 9);
});

test('random scenes rise in steps that fit their dial', () => {
  const { levels, scene, endS } = randomDialTake(12, 'good');
  expect(levels.length).toBeGreaterThan(1);
  for (const [i, level] of levels.entries()) expect(level).toBeGreaterThanOrEqual(levels[i - 1] ?? 0);
  expect(levels.at(-1)).toBeLessThan(scene.face.fullScale);
  expect(endS).toBeGreaterThan(0.5);
});
