/** Layout of the chart of final pressures from test to test, in pixels. Input pressures are gauge kPa. */
import { type DisplayUnit, fromKpa } from '../../worker/core/units.ts';
import { endLabels, heightOn, niceScale, type Scale } from './scale.ts';

/** One test at its position on the axis: a time in ms, a distance in the reader's unit, or hours. */
export interface TrendTest {
  readonly at: number;
  /** Final pressure of each cylinder that has a reading, gauge kPa. */
  readonly finalsKpa: ReadonlyMap<number, number>;
}

export interface TrendLimits {
  readonly minKpa?: number | undefined;
  readonly maxKpa?: number | undefined;
}

interface TrendPoint {
  readonly x: number;
  readonly y: number;
}

interface TrendLine {
  readonly cylinder: number;
  readonly points: readonly TrendPoint[];
  /** The points that show the cylinder's marker. */
  readonly marked: readonly TrendPoint[];
  readonly path: string;
  /** The last point. */
  readonly end: TrendPoint;
  readonly labelY: number;
}

export interface TrendDrawing {
  readonly lines: readonly TrendLine[];
  /** In the reader's unit. */
  readonly pressures: Scale;
  readonly limits: readonly { readonly kind: 'min' | 'max'; readonly kpa: number; readonly y: number }[];
  /** Positions of tests that have room for a label. */
  readonly ticks: readonly { readonly at: number; readonly x: number }[];
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const LEFT = 52;
const TOP = 18;
const BOTTOM = 44;
const LABEL_GAP = 18;
/** Room at the right for a two-digit number. */
const LABEL_ROOM = 36;
/** Room for a label such as `Sept 2026`. */
const TICK_ROOM = 84;

/** Lays the chart out. `tests` may be in any order; tests without finals are not drawn. */
export function trendDrawing(
  tests: readonly TrendTest[],
  limits: TrendLimits,
  unit: DisplayUnit,
  width: number,
  height: number,
): TrendDrawing {
  const ordered = tests.filter((test) => test.finalsKpa.size > 0).sort((a, b) => a.at - b.at);
  const right = width - LABEL_ROOM;
  const bottom = height - BOTTOM;
  const drawnLimits = (['min', 'max'] as const).flatMap((kind) => {
    const kpa = kind === 'min' ? limits.minKpa : limits.maxKpa;
    return kpa === undefined ? [] : [{ kind, kpa }];
  });
  const finals = ordered.flatMap((test) => [...test.finalsKpa.values()]);
  const pressures = pressureScale(
    [...finals, ...drawnLimits.map(({ kpa }) => kpa)].map((kpa) => fromKpa(kpa, unit)),
    height,
  );
  const y = heightOn(pressures, bottom, TOP);
  const x = placesAlong(ordered, LEFT + 12, right - 12);
  const cylinders = [...new Set(ordered.flatMap((test) => [...test.finalsKpa.keys()]))].sort((a, b) => a - b);
  const drawn = cylinders.flatMap((cylinder): Omit<TrendLine, 'labelY'>[] => {
    const points = ordered.flatMap((test) => {
      const kpa = test.finalsKpa.get(cylinder);
      return kpa === undefined ? [] : [{ x: x(test.at), y: y(fromKpa(kpa, unit)) }];
    });
    const end = points.at(-1);
    if (!end) return [];
    const path = points.map(
      (point, i) => `${i === 0 ? 'M' : 'L'} ${point.x.toFixed(1)} ${point.y.toFixed(1)}`,
    );
    return [{ cylinder, points, marked: markersOf(points), path: path.join(' '), end }];
  });
  const labels = endLabels(
    drawn.map((line) => line.end.y),
    LABEL_GAP,
    TOP,
    bottom,
  );
  return {
    lines: drawn.map((line, i) => ({ ...line, labelY: labels[i] ?? line.end.y })),
    pressures,
    limits: drawnLimits.map((limit) => ({ ...limit, y: y(fromKpa(limit.kpa, unit)) })),
    ticks: withRoom(
      ordered.map(({ at }) => ({ at, x: x(at) })),
      TICK_ROOM,
    ),
    left: LEFT,
    right,
    top: TOP,
    bottom,
  };
}

/** Width of a marker, and the distance between markers on a line without room for all. */
const MARKER_WIDTH = 12;
const MARKER_ROOM = 28;

/** All points, or points `MARKER_ROOM` apart where markers would run together. The last one is always kept. */
function markersOf(points: readonly TrendPoint[]): readonly TrendPoint[] {
  const wholeX = (points.at(-1)?.x ?? 0) - (points[0]?.x ?? 0);
  if (wholeX >= MARKER_WIDTH * (points.length - 1) || wholeX < MARKER_ROOM) return points;
  const kept: TrendPoint[] = [];
  for (const point of points.toReversed()) {
    const before = kept.at(-1);
    if (!before || before.x - point.x >= MARKER_ROOM) kept.push(point);
  }
  return kept.reverse();
}

/** Does not start at zero: the finals lie close together. */
function pressureScale(pressures: readonly number[], height: number): Scale {
  if (pressures.length === 0) return niceScale(0, 1, 4);
  const high = Math.max(...pressures);
  const low = Math.min(...pressures);
  const margin = 0.08 * (high - low || high);
  return niceScale(Math.max(0, low - margin), high + margin, Math.max(3, Math.round(height / 70)));
}

function placesAlong(tests: readonly TrendTest[], from: number, to: number): (at: number) => number {
  const first = tests[0]?.at ?? 0;
  const span = (tests.at(-1)?.at ?? 0) - first;
  return (at) => (span === 0 ? (from + to) / 2 : from + ((at - first) / span) * (to - from));
}

/**
 * Keeps the last tick, then from the left each tick whose label has `room`. A label is centred on its tick, except the
 * first, which begins there, and the last, which ends there.
 */
function withRoom<T extends { readonly x: number }>(ticks: readonly T[], room: number): T[] {
  const last = ticks.at(-1);
  if (!last) return [];
  const kept: T[] = [];
  for (const tick of ticks.slice(0, -1)) {
    const before = kept.at(-1);
    const rightOfBefore = kept.length === 1 ? room : room / 2;
    const right = before ? room / 2 : room;
    if ((!before || tick.x - before.x >= rightOfBefore + room / 2) && last.x - tick.x >= right + room)
      kept.push(tick);
  }
  return [...kept, last];
}
