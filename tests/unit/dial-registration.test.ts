import { expect, test } from 'vitest';
import { createRandom } from '../../simulator/random.ts';
import { locate } from '../../worker/dial/locate.ts';
import type { Picture } from '../../worker/dial/picture.ts';
import { UNMOVED } from '../../worker/dial/registration.ts';
import { setUpDial } from '../../worker/dial/set-up.ts';
import { tapDial } from '../support/dial-marks.ts';
import { PLAIN_SCENE, stillOf } from '../support/dial-scene.ts';

const scene = { ...PLAIN_SCENE, face: { ...PLAIN_SCENE.face, fullScale: 2000, division: 50 } };
const still = stillOf(scene);
const outcome = setUpDial(still, tapDial(scene, createRandom(1).fork(5), 1));
if (!outcome.ok) throw new Error(outcome.problem);
const { edges } = outcome.setUp;

/** The picture moved by whole pixels, its border repeated. */
function moved({ luma, width, height }: Picture, dx: number, dy: number): Picture {
  const out = new Uint8Array(luma.length);
  const inside = (value: number, most: number) => Math.min(most - 1, Math.max(0, value));
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      out[y * width + x] = luma[inside(y - dy, height) * width + inside(x - dx, width)]!;
    }
  }
  return { width, height, luma: out, cr: null };
}

test.each(Array.from({ length: 16 }, (_, i) => [i * 2, -i] as const))(
  'a dial moved by %i and %i pixels is found there, not at other ticks',
  (dx, dy) => {
    const found = locate(moved(still, dx, dy), edges, UNMOVED, 2);
    expect(found).not.toBeNull();
    expect(Math.hypot(found!.cx - dx, found!.cy - dy)).toBeLessThan(0.1);
  },
);

test('a dial that is covered is lost', () => {
  expect(
    locate({ ...still, luma: new Uint8Array(still.luma.length).fill(120) }, edges, UNMOVED, 2),
  ).toBeNull();
});
