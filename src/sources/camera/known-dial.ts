import { findTicks } from '../../../worker/dial/find-ticks.ts';
import { alongRing } from '../../../worker/dial/fit-scale.ts';
import type { Picture } from '../../../worker/dial/picture.ts';
import { type FittedScale, type Point, placeOf, type Scale } from '../../../worker/dial/scale.ts';
import { type DialMarks, type SetUpOutcome, setUpDial } from '../../../worker/dial/set-up.ts';

/** Taps on a dial that was set up before. */
export interface KnownMarks extends Scale {
  readonly hub: Point;
  readonly zero: Point;
  /** Mark of full scale. */
  readonly top: Point;
  /** From zero to full scale, radians, as the earlier set-up found it. */
  readonly sweep: number;
}

/** Best guesses that are tried. */
const MOST_TRIED = 3;
/** Perspective of a dial that is tilted, per radius; and shifts of the hub, which stands above the face, radii. */
const PERSPECTIVES = [0, 0.025, 0.05];
const HUB_SHIFTS = [0, 0.025, 0.05];
const DIRECTIONS = 8;
/** Ticks this near to their places speak for a guess, shares of a division. */
const NEAR = 0.2;

/**
 * Finds scale and needle with two marks and the hub. The reader wants four marks: the two between are guessed, with
 * the tilt at which most ticks are in their places. The tapped ones must agree with the ticks all the same.
 */
export function setUpKnownDial(picture: Picture, known: KnownMarks): SetUpOutcome {
  const guesses = [...guessesOf(known)]
    .map((scale) => ({ scale, share: shareNear(picture, scale) }))
    .sort((a, b) => b.share - a.share);
  let outcome: SetUpOutcome = { ok: false, problem: 'marks-unusable', scale: null };
  for (const { scale } of guesses.slice(0, MOST_TRIED)) {
    outcome = setUpDial(picture, marksOn(scale, known));
    if (outcome.ok) break;
  }
  return outcome;
}

/** Scales through both marks: zero at (1, 0) of the dial's plane, full scale at (cos sweep, sin sweep). */
function* guessesOf({ hub, zero, top, sweep, fullScale, division }: KnownMarks): Generator<FittedScale> {
  const [c, s] = [Math.cos(sweep), Math.sin(sweep)];
  const radiusPx = Math.hypot(zero.x - hub.x, zero.y - hub.y);
  for (const [g, h] of around(PERSPECTIVES)) {
    for (const [dx, dy] of around(HUB_SHIFTS)) {
      const [x, y] = [hub.x + dx * radiusPx, hub.y + dy * radiusPx];
      const [atZero, atTop] = [1 + g, 1 + g * c + h * s];
      const [ax, ay] = [zero.x * atZero - x, zero.y * atZero - y];
      const [bx, by] = [(top.x * atTop - x - c * ax) / s, (top.y * atTop - y - c * ay) / s];
      yield { fullScale, division, sweep, homography: [ax, bx, x, ay, by, y, g, h, 1] };
    }
  }
}

/** Vectors of these lengths in all directions. */
function* around(lengths: readonly number[]): Generator<readonly [number, number]> {
  for (const length of lengths) {
    for (let k = 0; k < (length === 0 ? 1 : DIRECTIONS); k++) {
      const angle = (2 * Math.PI * k) / DIRECTIONS;
      yield [length * Math.cos(angle), length * Math.sin(angle)];
    }
  }
}

/** Share of the ticks that are near the places that a scale gives them. */
function shareNear(picture: Picture, scale: FittedScale): number {
  const count = Math.round(scale.fullScale / scale.division);
  const [a, b] = [placeOf(scale, 0.5, 1), placeOf(scale, 0.5 + 1 / count, 1)];
  const nearPx = NEAR * Math.hypot(b.x - a.x, b.y - a.y);
  const { ticks } = findTicks(picture, scale, 0.5);
  return ticks.filter((tick) => Math.abs(alongRing(scale, tick)) < nearPx).length / count;
}

function marksOn(scale: FittedScale, { hub, zero, top, fullScale, division }: KnownMarks): DialMarks {
  const count = Math.round(fullScale / division);
  const between = [Math.round(count / 3), Math.round((2 * count) / 3)].map((k) => ({
    v: k * division,
    ...placeOf(scale, k / count, 1),
  }));
  return { hub, fullScale, division, marks: [{ v: 0, ...zero }, ...between, { v: fullScale, ...top }] };
}
