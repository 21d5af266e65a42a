/**
 * Positions of the lines in a tally: four uprights, then a bar across them. Lengths are in units of the drawing's
 * `viewBox`.
 */
import type { Stroke } from '../../worker/core/reading.ts';

export type TallyStroke = Pick<Stroke, 'number' | 'partial' | 'lost'>;

/** `short`: a partial first stroke. `dotted`: a stroke whose peak was lost. */
type MarkStyle = 'full' | 'short' | 'dotted';

interface TallyMark {
  readonly number: number;
  readonly style: MarkStyle;
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
}

export interface TallyDrawing {
  readonly width: number;
  readonly height: number;
  readonly marks: readonly TallyMark[];
  /** Line under the stroke from which the reading is level; `null` when it is not yet. */
  readonly underline: { readonly x1: number; readonly x2: number; readonly y: number } | null;
}

const HEIGHT = 48;
const TOP = 6;
const BOTTOM = 38;
const UNDERLINE_Y = 45;
const STEP = 11;
const MARGIN = 8;
/** Distance from the first upright of a group to that of the next. */
const GROUP = 4 * STEP + 18;
/** Slant of each upright, as in handwriting. Chosen by stroke number, so that a drawn mark never moves. */
const LEAN = [0.6, -0.9, 1.2, -0.4];

/** Lays out the tally. `settledFrom`: number of the stroke to underline, or `null`. */
export function tallyDrawing(strokes: readonly TallyStroke[], settledFrom: number | null): TallyDrawing {
  const marks = strokes.map(markOf);
  const groups = Math.ceil(Math.max(0, ...strokes.map((stroke) => stroke.number)) / 5);
  const settled = marks.find((mark) => mark.number === settledFrom);
  return {
    width: Math.max(1, groups) * GROUP - 18 + 2 * MARGIN,
    height: HEIGHT,
    marks,
    underline: settled ? underlineOf(settled) : null,
  };
}

function markOf(stroke: TallyStroke): TallyMark {
  const index = stroke.number - 1;
  const left = MARGIN + Math.floor(index / 5) * GROUP;
  const place = index % 5;
  const style: MarkStyle = stroke.lost ? 'dotted' : stroke.partial ? 'short' : 'full';
  if (place === 4) {
    return {
      number: stroke.number,
      style,
      x1: left - 5,
      y1: BOTTOM - 7,
      x2: left + 3 * STEP + 5,
      y2: TOP + 7,
    };
  }
  const x = left + place * STEP;
  const lean = LEAN[index % LEAN.length] ?? 0;
  const top = style === 'short' ? (TOP + BOTTOM) / 2 : TOP;
  return { number: stroke.number, style, x1: x - lean, y1: BOTTOM, x2: x + lean, y2: top };
}

function underlineOf(mark: TallyMark): TallyDrawing['underline'] {
  const middle = (mark.x1 + mark.x2) / 2;
  const half = Math.max(5, Math.abs(mark.x2 - mark.x1) / 2);
  return { x1: middle - half, x2: middle + half, y: UNDERLINE_Y };
}
