/** Layout of the chart of peak pressure by stroke number, in pixels. Input pressures are gauge kPa. */
import type { BuildUpFit, Stroke } from '../../worker/core/reading.ts';
import type { Condition } from '../../worker/core/trace.ts';
import { type DisplayUnit, fromKpa } from '../../worker/core/units.ts';
import { endLabels, heightOn, niceScale, type Scale } from './scale.ts';

export interface LadderLine {
  readonly cylinder: number;
  readonly condition: Condition;
  readonly strokes: readonly Stroke[];
  readonly fit: BuildUpFit | null;
  /** From the earlier test of a comparison. Drawn without a label beside the current line. */
  readonly isEarlier?: boolean | undefined;
}

interface LadderPoint {
  readonly number: number;
  readonly x: number;
  readonly y: number;
  readonly partial: boolean;
}

export interface DrawnLine {
  readonly line: LadderLine;
  readonly points: readonly LadderPoint[];
  /** SVG path through the peaks. A lost stroke breaks it. */
  readonly path: string;
  /** SVG path from a partial first stroke to the next. Separate because that rise says nothing about the seal. */
  readonly partialPath: string;
  /** SVG path of the fitted build-up; empty when there is no fit. */
  readonly fitPath: string;
  /** `null`: no label is drawn. */
  readonly labelY: number | null;
  readonly endX: number;
  readonly endY: number;
}

export interface LadderDrawing {
  readonly lines: readonly DrawnLine[];
  /** In the reader's unit. */
  readonly pressures: Scale;
  readonly lastStroke: number;
  x(stroke: number): number;
  y(pressure: number): number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const LEFT = 52;
const TOP = 14;
const BOTTOM = 44;
const LABEL_GAP = 18;
/** Room at the right for `4 wet`; the wide one for `12 wet`. */
const LABEL_ROOM = 64;
const WIDE_LABEL_ROOM = 72;

/** Height in pixels: from the width, or more where the labels at the right need it. */
export function ladderHeight(lines: readonly LadderLine[], width: number): number {
  const names = lines.filter((line) => !line.isEarlier).length;
  const suggested = Math.round(Math.min(460, Math.max(280, width * 0.62)));
  return Math.max(suggested, TOP + BOTTOM + (names - 1) * LABEL_GAP);
}

/** Lays the chart out in `width` by `height` pixels, with pressures in `unit`. */
export function ladderDrawing(
  lines: readonly LadderLine[],
  unit: DisplayUnit,
  width: number,
  height: number,
): LadderDrawing {
  const known = lines.flatMap((line) => line.strokes.filter(hasPeak));
  const lastStroke = Math.max(2, ...known.map((stroke) => stroke.number));
  const pressures = pressureScale(
    known.map((stroke) => fromKpa(stroke.peakKpa, unit)),
    height,
  );
  const isWide = lines.some((line) => line.condition === 'wet' && line.cylinder > 9);
  const right = width - (isWide ? WIDE_LABEL_ROOM : LABEL_ROOM);
  const bottom = height - BOTTOM;
  const x = (stroke: number) => LEFT + 10 + ((stroke - 1) / (lastStroke - 1)) * (right - LEFT - 20);
  const y = heightOn(pressures, bottom, TOP);
  const drawn = lines.flatMap((line): Omit<DrawnLine, 'labelY'>[] => {
    const points = line.strokes.filter(hasPeak).map((stroke) => ({
      number: stroke.number,
      x: x(stroke.number),
      y: y(fromKpa(stroke.peakKpa, unit)),
      partial: stroke.partial,
    }));
    const end = points.at(-1);
    if (!end) return [];
    const full = points.filter((point) => !point.partial);
    return [
      {
        line,
        points,
        path: brokenPath(full),
        partialPath: brokenPath(points.slice(0, points[0]?.partial ? 2 : 0)),
        fitPath: line.fit ? lawPath(line.fit, full, unit, x, y) : '',
        endX: end.x,
        endY: end.y,
      },
    ];
  });
  const labelled = drawn.filter(({ line }) => !line.isEarlier);
  const labels = endLabels(
    labelled.map((line) => line.endY),
    LABEL_GAP,
    TOP,
    bottom,
  );
  return {
    lines: drawn.map((line) => ({ ...line, labelY: labels[labelled.indexOf(line)] ?? null })),
    pressures,
    lastStroke,
    x,
    y,
    left: LEFT,
    right,
    top: TOP,
    bottom,
  };
}

function hasPeak(stroke: Stroke): stroke is Stroke & { peakKpa: number } {
  return stroke.peakKpa !== null && !stroke.lost;
}

/** Starts at zero unless all values would lie in the upper half. */
function pressureScale(pressures: readonly number[], height: number): Scale {
  if (pressures.length === 0) return niceScale(0, 1, 4);
  const high = Math.max(...pressures);
  const low = Math.min(...pressures);
  const wanted = Math.max(3, Math.round(height / 70));
  return niceScale(low > 0.55 * high ? low - 0.25 * (high - low || high) : 0, high, wanted);
}

/** Joins consecutive strokes; a missing number breaks the line. */
function brokenPath(points: readonly LadderPoint[]): string {
  return points
    .map((point, i) => {
      const joined = points[i - 1]?.number === point.number - 1;
      return `${joined ? 'L' : 'M'} ${point.x.toFixed(1)} ${point.y.toFixed(1)}`;
    })
    .join(' ');
}

/** `finalKpa - riseKpa * exp(-(k - 1) / timeConstant)`, as `BuildUpFit` defines it, in steps of a quarter stroke. */
function lawPath(
  fit: BuildUpFit,
  points: readonly LadderPoint[],
  unit: DisplayUnit,
  x: (stroke: number) => number,
  y: (pressure: number) => number,
): string {
  const first = points[0];
  const last = points.at(-1);
  if (!first || !last) return '';
  const corners: string[] = [];
  for (let k = first.number; k <= last.number + 1e-9; k += 0.25) {
    const kpa = fit.finalKpa - fit.riseKpa * Math.exp(-(k - 1) / fit.timeConstantStrokes);
    corners.push(`${x(k).toFixed(1)} ${y(fromKpa(kpa, unit)).toFixed(1)}`);
  }
  return `M ${corners.join(' L ')}`;
}
