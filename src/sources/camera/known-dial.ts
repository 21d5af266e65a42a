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

/** The marks between the tapped ones are placed again by the fit before, so often at most. */
const MOST_FITS = 4;

/**
 * Finds scale and needle with two marks and the hub. The reader wants four marks: the two between are placed by the affine
 * map that the taps fix, then by the fit that came of it. The tapped ones must agree with the ticks all the same.
 */
export function setUpKnownDial(picture: Picture, known: KnownMarks): SetUpOutcome {
  let outcome = setUpDial(picture, marksOn(roughScale(known), known));
  for (let fits = 1; fits < MOST_FITS && !outcome.ok && outcome.scale !== null; fits++) {
    outcome = setUpDial(picture, marksOn(outcome.scale, known));
  }
  return outcome;
}

/** Zero at (1, 0) of the dial's plane, full scale at (cos sweep, sin sweep). */
function roughScale({ hub, zero, top, sweep, fullScale, division }: KnownMarks): FittedScale {
  const [ux, uy] = [zero.x - hub.x, zero.y - hub.y];
  const [c, s] = [Math.cos(sweep), Math.sin(sweep)];
  const [vx, vy] = [(top.x - hub.x - c * ux) / s, (top.y - hub.y - c * uy) / s];
  return { fullScale, division, sweep, homography: [ux, vx, hub.x, uy, vy, hub.y, 0, 0, 1] };
}

function marksOn(scale: FittedScale, { hub, zero, top, fullScale, division }: KnownMarks): DialMarks {
  const count = Math.round(fullScale / division);
  const between = [Math.round(count / 3), Math.round((2 * count) / 3)].map((k) => ({
    v: k * division,
    ...placeOf(scale, k / count, 1),
  }));
  return { hub, fullScale, division, marks: [{ v: 0, ...zero }, ...between, { v: fullScale, ...top }] };
}
