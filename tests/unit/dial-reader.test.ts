import { describe, expect, test } from 'vitest';
import { renderClip } from '../../simulator/dial/clip.ts';
import type { DialScene, Spot } from '../../simulator/dial/scene.ts';
import { createRandom } from '../../simulator/random.ts';
import { createDialReader, type DialReading } from '../../worker/dial/read-dial.ts';
import { setUpDial } from '../../worker/dial/set-up.ts';
import { tapDial } from '../support/dial-marks.ts';
import { PLAIN_SCENE, pictureOf, stepsTo } from '../support/dial-scene.ts';

const LEVELS = [90, 140];

interface Read extends DialReading {
  readonly truth: number;
}

const plainFrames = [...renderClip(PLAIN_SCENE, stepsTo(LEVELS, 0.35), 0.85)];

function readScene(scene: DialScene, withColour = true): Read[] {
  const frames = scene === PLAIN_SCENE ? plainFrames : renderClip(scene, stepsTo(LEVELS, 0.35), 0.85);
  const marks = tapDial(scene, createRandom(3).fork(5), 1);
  let reader: ReturnType<typeof createDialReader> | null = null;
  const readings: Read[] = [];
  for (const frame of frames) {
    const picture = withColour ? pictureOf(frame) : { ...pictureOf(frame), cr: null };
    if (reader === null) {
      const outcome = setUpDial(picture, marks);
      if (!outcome.ok) throw new Error(outcome.problem);
      reader = createDialReader(outcome.setUp);
    }
    readings.push({ ...reader.read(picture, frame.timeS), truth: frame.needle });
  }
  return readings;
}

const okOf = (readings: readonly Read[]) => readings.filter(({ state }) => state === 'ok');
const worst = (readings: readonly Read[]) =>
  Math.max(...okOf(readings).map(({ value, truth }) => Math.abs(value! - truth)));

const spot: Spot = {
  kind: 'hand',
  x: 0,
  y: 0,
  radius: 0.8,
  speedX: 0,
  speedY: 0,
  fromS: 0.5,
  toS: 0.62,
  strength: 0,
};

describe('reading a dial', () => {
  test('follows the needle within 1 % of full scale', () => {
    const readings = readScene(PLAIN_SCENE);
    expect(okOf(readings).length).toBeGreaterThan(22);
    expect(worst(readings)).toBeLessThan(3);
  });

  test('does not need colour', () => {
    expect(worst(readScene(PLAIN_SCENE, false))).toBeLessThan(3);
  });

  test('tells a coloured follower from the needle', () => {
    const readings = readScene({ ...PLAIN_SCENE, follower: true });
    expect(okOf(readings).length).toBeGreaterThan(20);
    expect(worst(readings)).toBeLessThan(4.5);
  });

  test('reads a light needle on a dark face', () => {
    const face = { ...PLAIN_SCENE.face, paper: 35, ink: 210, logo: true, secondDivisions: 21 };
    const readings = readScene({ ...PLAIN_SCENE, face, needleLuma: 220 });
    expect(okOf(readings).length).toBeGreaterThan(22);
    expect(worst(readings)).toBeLessThan(3);
  });

  test('reads a red needle, alone and behind a black follower', () => {
    const red = { ...PLAIN_SCENE, needleLuma: 80, needleCr: 200 };
    for (const scene of [red, { ...red, follower: true, followerColour: { luma: 25, cr: 128 } }]) {
      const readings = readScene(scene);
      expect(okOf(readings).length).toBeGreaterThan(20);
      expect(worst(readings)).toBeLessThan(4.5);
    }
  });

  test('finds the dial again after a bump', () => {
    const readings = readScene({ ...PLAIN_SCENE, bump: { atS: 0.5, px: 25 } });
    expect(okOf(readings.slice(17)).length).toBeGreaterThan(5);
    expect(worst(readings)).toBeLessThan(3);
  });
});

describe('a frame is refused', () => {
  test('while a hand or a bright light covers the needle, and has no value then', () => {
    for (const cover of [spot, { ...spot, kind: 'glare' as const, strength: 250 }]) {
      const readings = readScene({ ...PLAIN_SCENE, spots: [cover] });
      const covered = readings.filter(({ timeS }) => timeS > 0.51 && timeS < 0.61);
      expect(covered.length).toBeGreaterThan(2);
      for (const { state, value } of covered) {
        expect(state).not.toBe('ok');
        expect(value).toBeNull();
      }
      expect(worst(readings)).toBeLessThan(6);
    }
  });

  test('when the dial has gone', () => {
    const marks = tapDial(PLAIN_SCENE, createRandom(3).fork(5), 1);
    const picture = pictureOf(plainFrames[0]!);
    const outcome = setUpDial(picture, marks);
    if (!outcome.ok) throw new Error(outcome.problem);
    const reader = createDialReader(outcome.setUp);
    const grey = { ...picture, luma: new Uint8Array(picture.luma.length).fill(90) };
    expect(reader.read(grey, 0)).toEqual({ timeS: 0, state: 'lost', value: null });
  });
});

test('a needle smeared over too wide an angle is moving, and no value is wrong by 2 %', () => {
  const readings = readScene({ ...PLAIN_SCENE, exposureS: 0.024, noise: 6, light: 0.5 });
  expect(readings.map(({ state }) => state)).toContain('moving');
  expect(worst(readings)).toBeLessThan(6);
});
