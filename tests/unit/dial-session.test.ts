/** From pictures to readings as the worker does it, on rendered dials. */
import { describe, expect, it } from 'vitest';
import { renderClip } from '../../simulator/dial/clip.ts';
import { createRandom } from '../../simulator/random.ts';
import { createDialSession } from '../../src/sources/camera/dial-session.ts';
import { fromPixels } from '../../src/sources/camera/picture-of-frame.ts';
import { tapDial, tickPlace } from '../support/dial-marks.ts';
import { PLAIN_SCENE, pictureOf, stepsTo, stillOf } from '../support/dial-scene.ts';

const sceneMarks = () => tapDial(PLAIN_SCENE, createRandom(3), 1.5);

describe('a session', () => {
  it('reads nothing before a scale fits, then every frame', () => {
    const session = createDialSession();
    session.keep(stillOf(PLAIN_SCENE));
    const frames = [...renderClip(PLAIN_SCENE, stepsTo([150], 9), 1.2)];
    expect(session.read(pictureOf(frames[0]!), 0)).toBeNull();
    expect(session.fit(sceneMarks()).ok).toBe(true);
    const readings = frames.map((frame) => session.read(pictureOf(frame), frame.timeS));
    expect(readings.at(-1)).toMatchObject({ state: 'ok' });
    expect(readings.at(-1)!.value).toBeCloseTo(150, 0);
  });

  it('reads nothing of a picture of another size', () => {
    const session = createDialSession();
    session.keep(stillOf(PLAIN_SCENE));
    session.fit(sceneMarks());
    const turned = { ...stillOf(PLAIN_SCENE), width: 480, height: 640 };
    expect(session.read(turned, 1)).toEqual({ timeS: 1, state: 'lost', value: null });
  });

  it('says when it is too dark', () => {
    const session = createDialSession();
    const dark = { ...PLAIN_SCENE, light: 0.08 };
    session.keep(stillOf(dark));
    expect(session.fit(sceneMarks())).toMatchObject({ ok: false, problem: 'too-dark' });
  });

  it('says when a reflection is in the way', () => {
    const session = createDialSession();
    const spot = {
      kind: 'glare',
      x: 0,
      y: -0.5,
      radius: 0.7,
      speedX: 0,
      speedY: 0,
      fromS: 0,
      toS: 9,
      strength: 400,
    } as const;
    const glaring = { ...PLAIN_SCENE, spots: [spot] };
    session.keep(stillOf(glaring));
    expect(session.fit(sceneMarks())).toMatchObject({ ok: false, problem: 'glare' });
  });
});

describe('a dial that is known', () => {
  it.each([0, 8, 20])('needs the hub and two marks, tilted by %s degrees', (tiltDeg) => {
    const scene = { ...PLAIN_SCENE, pose: { ...PLAIN_SCENE.pose, tiltDeg } };
    const { hub, marks } = tapDial(scene, createRandom(5), 1.5);
    const session = createDialSession();
    session.keep(stillOf(scene));
    const known = { fullScale: 300, division: 5, sweep: (270 * Math.PI) / 180 };
    expect(session.fit({ ...known, hub, zero: marks[0]!, top: marks[3]! })).toMatchObject({ ok: true });
    const { value } = session.read(stillOf(scene, 0), 1)!;
    // Half a percent of full scale, as with four marks.
    expect(Math.abs(value!)).toBeLessThan(0.005 * 300);
  });

  it('is refused with its marks a division off', () => {
    const { hub, marks } = tapDial(PLAIN_SCENE, createRandom(5), 0.5);
    const [zero, top] = [tickPlace(PLAIN_SCENE, 5), tickPlace(PLAIN_SCENE, 300)];
    const session = createDialSession();
    session.keep(stillOf(PLAIN_SCENE));
    const known = { fullScale: 300, division: 5, sweep: (270 * Math.PI) / 180 };
    expect(marks).toHaveLength(4);
    expect(session.fit({ ...known, hub, zero, top }).ok).toBe(false);
  });
});

it('takes brightness and red from pixels', () => {
  const pixel = (r: number, g: number, b: number) => [r, g, b, 255];
  const data = Uint8ClampedArray.from([
    ...pixel(255, 0, 0),
    ...pixel(255, 0, 0),
    ...pixel(200, 200, 200),
    ...pixel(255, 0, 0),
    ...pixel(255, 0, 0),
    ...pixel(0, 0, 0),
  ]);
  const { luma, cr, width } = fromPixels({ data, width: 3, height: 2 });
  expect(width).toBe(3);
  expect([...luma].map(Math.round)).toEqual([76, 76, 200, 76, 76, 0]);
  expect(cr!.length).toBe(2);
  expect(cr![0]).toBeGreaterThan(240);
  expect(cr![1]).toBe(128);
});
