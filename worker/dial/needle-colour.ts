import { median, quantile } from '../core/statistics.ts';
import { lumaAt, type Picture, redAt } from './picture.ts';
import type { Grid } from './polar.ts';
import { darknessOf, findNeedleAtRest, type RestingNeedle } from './resting-needle.ts';
import { type FittedScale, type Point, radiusPxOf, toPicture } from './scale.ts';

/** How a needle stands out from the face. */
export interface NeedleColour {
  /** Luma that counts as the whole contrast of a light needle; `null` for a dark one. */
  readonly white: number | null;
  /** The needle is red, and what is not red is no needle; else what is red is none. */
  readonly isRed: boolean;
}

/** Excess of red over the empty dial, grey levels, that counts as noise, and its contrast per brightness of the paper. */
const RED_NOISE = 12;
const RED_CONTRAST = 2.6;
/** Least contrast that colour is asked for, and least of what is not red beside a red needle: its shadow is weaker. */
const COLOURED = 0.2;
const NOT_SHADOW = 0.35;
/** Largest angle between the zero mark and a needle that rests, radians. */
const NEAR_ZERO = 0.12;

/** Share of the contrast that is red. `red`: chroma over that of the empty dial; `span`: brightness of a whole contrast. */
export function redPart(contrast: number, red: number, span: number): number {
  const over = red - RED_NOISE;
  return contrast <= COLOURED || over <= 0 ? 0 : Math.min(contrast, (RED_CONTRAST * over) / span);
}

/** Share of the contrast that belongs to another pointer than the needle. */
export function foreignPart(isRed: boolean, contrast: number, red: number): number {
  const other = isRed ? contrast - red : red;
  return isRed && other < NOT_SHADOW ? 0 : other;
}

/** The needle at rest on the luma and red chroma of the grid, dark or light, red or not; `null` when there is none. */
export function findNeedle(
  picture: Picture,
  luma: Float64Array,
  red: Float64Array,
  grid: Grid,
  scale: FittedScale,
  hub: Point,
): { readonly rest: RestingNeedle; readonly colour: NeedleColour; readonly greyLevels: number } | null {
  const white = Math.max(60, quantile(luma, 0.99));
  const found = [null, white].flatMap((from) => {
    const seen = from === null ? luma : luma.map((one) => Math.max(0, from - one));
    const darkness = darknessOf(seen, grid);
    const rest = findNeedleAtRest(darkness, grid, scale, hub);
    return rest === null ? [] : [{ from, darkness, rest, greyLevels: rest.contrast * median(seen) }];
  });
  // What is not at zero is print or a shadow.
  const score = ({ rest, greyLevels }: (typeof found)[number]) =>
    greyLevels * (Math.abs(rest.angle) < NEAR_ZERO ? 4 : 1);
  const best = found.sort((a, b) => score(b) - score(a))[0];
  if (best === undefined) return null;
  const span = median(best.from === null ? luma : luma.map((one) => Math.max(0, white - one)));
  const usualRed = median(red);
  const reds = best.darkness.map((dark, k) => redPart(dark, red[k]! - usualRed, span));
  const redLine = findNeedleAtRest(reds, grid, scale, hub);
  const plainLine = findNeedleAtRest(
    best.darkness.map((dark, k) => dark - reds[k]!),
    grid,
    scale,
    hub,
  );
  // Where a red and a black line rest beside each other, the needle is the one with a tail beyond the hub.
  const isPlainThere = plainLine !== null && isAtZero(plainLine);
  const isTailRed = isPlainThere && hasRedTail(picture, scale, hub, best.rest.angle, usualRed);
  const isRed = isPlainThere ? isTailRed : redLine !== null && isAtZero(redLine);
  if (isRed && (redLine === null || !isAtZero(redLine))) return null;
  return {
    rest: isRed && redLine !== null ? uncovered(redLine, isPlainThere ? best.rest : redLine) : best.rest,
    colour: { white: best.from, isRed },
    greyLevels: best.greyLevels,
  };
}

const isAtZero = ({ angle, contrast }: RestingNeedle): boolean =>
  Math.abs(angle) < NEAR_ZERO && contrast > 0.25;

/** A needle that a follower covers in part is broader than it looks, and narrower than both together. */
function uncovered(seen: RestingNeedle, both: RestingNeedle): RestingNeedle {
  return { ...seen, area: (seen.area + both.area) / 2, width: (seen.width + both.width) / 2 };
}

/** A follower has no tail beyond the hub. */
function hasRedTail(
  picture: Picture,
  scale: FittedScale,
  hub: Point,
  angle: number,
  usualRed: number,
): boolean {
  const centre = toPicture(scale, 0, 0);
  const apart = 1.5 / radiusPxOf(scale);
  const most = [0.14, 0.16, 0.18].map((radius) =>
    Math.max(
      ...[-2, -1, 0, 1, 2].map((step) => {
        const [c, s] = [Math.cos(angle + Math.PI), Math.sin(angle + Math.PI)];
        const at = toPicture(scale, radius * c - step * apart * s, radius * s + step * apart * c);
        const [x, y] = [at.x - centre.x + hub.x, at.y - centre.y + hub.y];
        return lumaAt(picture, x, y) < 0 ? 0 : redAt(picture, x, y) - usualRed;
      }),
    ),
  );
  return median(most) > 1.5 * RED_NOISE;
}
