import { describe, expect, test } from 'vitest';
import type { DialScene } from '../../simulator/dial/scene.ts';
import { createRandom } from '../../simulator/random.ts';
import { placeOf, pointsToDraw } from '../../worker/dial/scale.ts';
import { type DialMarks, type SetUpOutcome, setUpDial } from '../../worker/dial/set-up.ts';
import { tapDial, tickPlace } from '../support/dial-marks.ts';
import { PLAIN_SCENE, stillOf } from '../support/dial-scene.ts';

const random = (seed: number) => createRandom(seed).fork(5);
const still = stillOf(PLAIN_SCENE);
const exact = tapDial(PLAIN_SCENE, random(1), 0);

/** Largest distance of a fitted tick from the true one, pixels. */
function worstTickPx(scene: DialScene, outcome: SetUpOutcome): number {
  if (!outcome.ok) throw new Error(`refused: ${outcome.problem}`);
  const { scale } = outcome.setUp;
  const offs = pointsToDraw(scale).map(({ v, x, y }) => {
    const place = tickPlace(scene, v);
    const ahead = placeOf(scale, v / scale.fullScale + 0.001, 1);
    const length = Math.hypot(ahead.x - x, ahead.y - y);
    return Math.abs(((ahead.x - x) * (place.x - x) + (ahead.y - y) * (place.y - y)) / length);
  });
  return Math.max(...offs);
}

const problemOf = (outcome: SetUpOutcome) => (outcome.ok ? 'none' : outcome.problem);

describe('set-up of a dial', () => {
  test.each([1, 2, 3])('snaps taps 3 pixels off to the printed ticks (seed %i)', (seed) => {
    const outcome = setUpDial(still, tapDial(PLAIN_SCENE, random(seed), 3));
    expect(worstTickPx(PLAIN_SCENE, outcome)).toBeLessThan(0.4);
  });

  test('holds with tilt and perspective', () => {
    const scene = { ...PLAIN_SCENE, pose: { ...PLAIN_SCENE.pose, tiltDeg: 25, distance: 5 } };
    const outcome = setUpDial(stillOf(scene), tapDial(scene, random(4), 2));
    expect(worstTickPx(scene, outcome)).toBeLessThan(0.5);
  });

  test('finds the needle at rest', () => {
    const outcome = setUpDial(still, exact);
    if (!outcome.ok) throw new Error(outcome.problem);
    expect(Math.abs(outcome.setUp.rest.angle / outcome.setUp.scale.sweep)).toBeLessThan(0.004);
  });
});

describe('set-up is refused', () => {
  const withMarks = (change: (mark: DialMarks['marks'][number], i: number) => object): DialMarks => ({
    ...exact,
    marks: exact.marks.map((mark, i) => ({ ...mark, ...change(mark, i) })),
  });

  test('with three marks, or marks that run the wrong way', () => {
    expect(problemOf(setUpDial(still, { ...exact, marks: exact.marks.slice(1) }))).toBe('marks-unusable');
    expect(
      problemOf(
        setUpDial(
          still,
          withMarks(({ v }) => ({ v: 300 - v })),
        ),
      ),
    ).toBe('marks-unusable');
  });

  test('when the dial is small', () => {
    const scene = { ...PLAIN_SCENE, pose: { ...PLAIN_SCENE.pose, radiusPx: 95 } };
    expect(problemOf(setUpDial(stillOf(scene), tapDial(scene, random(1), 0)))).toBe('dial-small');
  });

  test('with a division that is not printed', () => {
    expect(problemOf(setUpDial(still, { ...exact, division: 4 }))).toBe('ticks-missing');
  });

  test('when every tap is one division on: the scale then ends elsewhere', () => {
    const marks = exact.marks.map(({ v }) => ({ v, ...tickPlace(PLAIN_SCENE, v + 5) }));
    expect(problemOf(setUpDial(still, { ...exact, marks }))).not.toBe('none');
  });

  test('when one mark is a division off', () => {
    const moved = withMarks(({ v }, i) => (i === 1 ? tickPlace(PLAIN_SCENE, v + 5) : {}));
    expect(problemOf(setUpDial(still, moved))).toBe('mark-off');
  });

  test('when the needle is not at zero', () => {
    expect(problemOf(setUpDial(stillOf(PLAIN_SCENE, 20), exact))).toBe('needle-not-at-zero');
  });

  test('when the needle is hardly darker than the face', () => {
    const scene = { ...PLAIN_SCENE, needleLuma: 203, shadow: { x: 0, y: 0, share: 0 } };
    expect(problemOf(setUpDial(stillOf(scene), exact))).toBe('contrast-low');
  });
});
