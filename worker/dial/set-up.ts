import { type Edges, findEdges } from './edges.ts';
import { roughScale } from './fit-scale.ts';
import { findNeedle, type NeedleColour } from './needle-colour.ts';
import type { Picture } from './picture.ts';
import type { Pivot } from './pivot.ts';
import { BEFORE, createGrid, type Grid, RADII, STEP, sampleLuma, sampleRed } from './polar.ts';
import { hasLightPrint, inverted } from './polarity.ts';
import { UNMOVED } from './registration.ts';
import type { RestingNeedle } from './resting-needle.ts';
import { type FittedScale, type Mark, type Point, radiusPxOf, type Scale } from './scale.ts';
import { snapScale } from './snap-scale.ts';

/** What a person states about a dial: hub and four or more marks on the picture (pixels), and the printed scale. */
export interface DialMarks extends Scale {
  readonly hub: Point;
  readonly marks: readonly Mark[];
}

/** Why a set-up is refused. */
export type SetUpProblem =
  /** Fewer than four marks, values outside the scale, or marks that do not run clockwise: tap again. */
  | 'marks-unusable'
  /** The scale's radius is under 100 pixels: move the camera closer. */
  | 'dial-small'
  /** Printed ticks were not found in their places: check values and division, improve light or focus. */
  | 'ticks-missing'
  /** The ticks do not fit one flat dial: check values and division, hold the phone still. */
  | 'residual-high'
  /** A tap is most of a division off, or the scale seems to end a division elsewhere: tap again. */
  | 'mark-off'
  /** The needle hardly differs from the face: more light, no glare. */
  | 'contrast-low'
  /** The needle does not rest at zero: release the pressure, and check the mark of zero. */
  | 'needle-not-at-zero';

/** Everything that the reading of later pictures needs. */
export interface DialSetUp {
  readonly scale: FittedScale;
  readonly edges: Edges;
  readonly grid: Grid;
  /** Luma and red chroma of the dial without its needle, on the grid. */
  readonly reference: Float64Array;
  readonly referenceRed: Float64Array;
  readonly rest: RestingNeedle;
  readonly pivot: Pivot;
  readonly colour: NeedleColour;
  /** Median distance of the printed ticks from the fitted ones, pixels. */
  readonly residualPx: number;
}

/** Result of `setUpDial`. `scale`: to draw over the picture also when it is refused, `null` without a fit. */
export type SetUpOutcome =
  | { readonly ok: true; readonly setUp: DialSetUp }
  | { readonly ok: false; readonly problem: SetUpProblem; readonly scale: FittedScale | null };

/** Smallest radius of the scale, pixels. */
const LEAST_RADIUS_PX = 100;
/** Least share of the ticks found, and largest median distance from their places, pixels. */
const LEAST_FOUND = 0.9;
const MOST_RESIDUAL_PX = 0.6;
const MOST_TAP_OFF_DIVISIONS = 0.7;
/** Darkness beyond the ends above which the scale seems to go on, shares of a tick's. */
const TICK_BEYOND = 0.7;
const LEAST_CONTRAST = 15;
const MOST_REST_SHARE = 0.02;
/** Half of the sector around the resting needle that is filled from its sides, radians. */
const REST_SECTOR = 0.13;

/** Finds scale and needle on one still picture, with the needle at rest. Takes some tenths of a second. */
export function setUpDial(picture: Picture, given: DialMarks): SetUpOutcome {
  const refuse = (problem: SetUpProblem, scale: FittedScale | null): SetUpOutcome => ({
    ok: false,
    problem,
    scale,
  });
  const { hub, marks, fullScale, division } = given;
  const isInside = marks.every(({ v }) => v >= 0 && v <= fullScale);
  const hasDivisions = fullScale / division >= 5 && fullScale / division <= 400;
  const rough =
    isInside && hasDivisions && marks.length >= 4 ? roughScale(hub, marks, { fullScale, division }) : null;
  if (rough === null) return refuse('marks-unusable', null);
  if (radiusPxOf(rough) < LEAST_RADIUS_PX) return refuse('dial-small', rough);
  const snapped = snapScale(hasLightPrint(picture, rough) ? inverted(picture) : picture, rough, hub, marks);
  if (snapped === null) return refuse('residual-high', rough);
  const { scale, search, residualPx, tapOffDivisions } = snapped;
  if (search.foundShare < LEAST_FOUND) return refuse('ticks-missing', scale);
  if (residualPx > MOST_RESIDUAL_PX) return refuse('residual-high', scale);
  if (tapOffDivisions > MOST_TAP_OFF_DIVISIONS || Math.max(...search.beyondEnds) > TICK_BEYOND) {
    return refuse('mark-off', scale);
  }
  const grid = createGrid(scale);
  const luma = new Float64Array(grid.x.length);
  const edges = findEdges(picture, scale, 0);
  sampleLuma(picture, grid, edges, UNMOVED, luma);
  const referenceRed = luma.map((_, k) => sampleRed(picture, grid, edges, UNMOVED, k));
  const found = findNeedle(picture, luma, referenceRed, grid, scale, hub);
  if (found === null || found.greyLevels < LEAST_CONTRAST) return refuse('contrast-low', scale);
  const { rest, colour } = found;
  if (Math.abs(rest.angle / scale.sweep) > MOST_REST_SHARE) return refuse('needle-not-at-zero', scale);
  fillRestSector(luma, grid, rest.angle);
  fillRestSector(referenceRed, grid, rest.angle);
  return {
    ok: true,
    setUp: { scale, edges, grid, reference: luma, referenceRed, rest, pivot: rest.pivot, colour, residualPx },
  };
}

/** First and last step of the sector around the resting needle. */
export function restSteps(grid: Grid, restAngle: number): readonly [number, number] {
  const middle = restAngle / STEP + BEFORE;
  const half = REST_SECTOR / STEP;
  return [Math.max(1, Math.floor(middle - half)), Math.min(grid.angles - 2, Math.ceil(middle + half))];
}

/** Replaces the needle by the paper on both of its sides. */
function fillRestSector(values: Float64Array, grid: Grid, restAngle: number): void {
  const [from, to] = restSteps(grid, restAngle);
  const count = RADII.length;
  for (let j = 0; j < count; j++) {
    const side = (i: number) => values[i * count + j]!;
    for (let i = from; i <= to; i++) {
      const share = (i - from + 1) / (to - from + 2);
      values[i * count + j] = side(from - 1) * (1 - share) + side(to + 1) * share;
    }
  }
}
