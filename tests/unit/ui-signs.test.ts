import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { alignColumns } from '../../src/components/align.ts';
import { ladderDrawing, ladderHeight } from '../../src/components/ladder-geometry.ts';
import { levelPath, planDrawing } from '../../src/components/plan-geometry.ts';
import { digitsOfStep, niceScale, spreadLabels, withRoomForText } from '../../src/components/scale.ts';
import { tallyDrawing } from '../../src/components/tally-geometry.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { Stroke } from '../../worker/core/reading.ts';

const strokes = (count: number) =>
  Array.from({ length: count }, (_, i) => ({ number: i + 1, partial: false, lost: false }));

describe('tally', () => {
  test('every fifth mark crosses the four before it', () => {
    const { marks } = tallyDrawing(strokes(10), null);
    for (const bar of [marks[4]!, marks[9]!]) {
      const four = marks.filter((mark) => mark.number < bar.number && mark.number >= bar.number - 4);
      for (const upright of four) {
        expect(Math.min(bar.x1, bar.x2)).toBeLessThan(Math.min(upright.x1, upright.x2));
        expect(Math.max(bar.x1, bar.x2)).toBeGreaterThan(Math.max(upright.x1, upright.x2));
      }
    }
  });

  test('marks never move as strokes are added', () => {
    const before = tallyDrawing(strokes(7), null).marks;
    const after = tallyDrawing(strokes(13), null).marks;
    expect(after.slice(0, 7)).toEqual(before);
  });

  test('all marks stay inside the drawing', () => {
    for (let count = 1; count <= 23; count++) {
      const { marks, width, height } = tallyDrawing(strokes(count), count);
      for (const { x1, x2, y1, y2 } of marks) {
        for (const x of [x1, x2]) expect(x >= 0 && x <= width).toBe(true);
        for (const y of [y1, y2]) expect(y >= 0 && y <= height).toBe(true);
      }
    }
  });

  test('a partial stroke is short, a lost one dotted, the settled one underlined', () => {
    const { marks, underline } = tallyDrawing(
      [
        { number: 1, partial: true, lost: false },
        { number: 2, partial: false, lost: true },
        { number: 3, partial: false, lost: false },
      ],
      3,
    );
    expect(marks.map((mark) => mark.style)).toEqual(['short', 'dotted', 'full']);
    expect(marks[0]!.y1 - marks[0]!.y2).toBeLessThan(0.6 * (marks[2]!.y1 - marks[2]!.y2));
    const middle = (marks[2]!.x1 + marks[2]!.x2) / 2;
    expect(underline && underline.x1 < middle && underline.x2 > middle).toBe(true);
    expect(tallyDrawing(strokes(3), null).underline).toBeNull();
  });
});

describe('plan', () => {
  const kinds = ['inline', 'vee', 'flat', 'radial'] as const;
  test.each(kinds.flatMap((kind) => [1, 2, 3, 5, 6, 9, 12, 18].map((n) => [kind, n] as const)))(
    '%s %i: circles do not overlap and stay inside',
    (kind, count) => {
      const { spots, radius, width, height } = planDrawing(presetLayout(kind, count));
      expect(spots.map((spot) => spot.cylinder).sort((a, b) => a - b)).toEqual(
        strokes(count).map((s) => s.number),
      );
      for (const [i, a] of spots.entries()) {
        expect(a.x - radius >= 0 && a.x + radius <= width).toBe(true);
        expect(a.y - radius >= 0 && a.y + radius <= height).toBe(true);
        for (const b of spots.slice(i + 1)) {
          expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeGreaterThan(2 * radius);
        }
      }
    },
  );

  test('a vee has two rows joined within each row, a radial no shared gasket', () => {
    const vee = planDrawing(presetLayout('vee', 6));
    expect(new Set(vee.spots.map((spot) => spot.y)).size).toBe(2);
    expect(vee.links.map(({ from, to }) => [from.cylinder, to.cylinder])).toEqual([
      [1, 3],
      [3, 5],
      [2, 4],
      [4, 6],
    ]);
    expect(planDrawing(presetLayout('radial', 7)).links).toEqual([]);
  });

  test('a circle fills from below: its level is at the share of its height', () => {
    const lineOf = (share: number) => Number(/^M \S+ (\S+) /.exec(levelPath(share, 10) ?? '')?.[1]);
    expect(levelPath(0, 10)).toBeNull();
    expect(lineOf(0.5)).toBe(0);
    expect(lineOf(0.75)).toBe(-5);
    expect(lineOf(0.25)).toBe(5);
    expect(levelPath(1.7, 10)).toBe(levelPath(1, 10));
  });
});

describe('scales', () => {
  test('ticks enclose the range in steps of 1, 2 or 5', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        fc.double({ min: 1e-3, max: 1e4, noNaN: true }),
        (low, span) => {
          const scale = niceScale(low, low + span, 5);
          const step = scale.ticks[1]! - scale.ticks[0]!;
          expect(scale.low).toBeLessThanOrEqual(low + 1e-6 * span);
          expect(scale.high).toBeGreaterThanOrEqual(low + span - 1e-6 * span);
          const lead = step / 10 ** Math.floor(Math.log10(step) + 1e-9);
          expect([1, 2, 5].some((one) => Math.abs(lead - one) < 1e-3)).toBe(true);
          expect(scale.ticks.length).toBeLessThanOrEqual(9);
        },
      ),
      { numRuns: 200 },
    );
  });

  test.each([
    [50, 0],
    [1, 0],
    [0.5, 1],
    [0.02, 2],
    [2.5, 1],
    [0.25, 2],
  ])('a step of %d needs %i digits', (step, digits) => {
    expect(digitsOfStep(step)).toBe(digits);
  });

  test('labels are moved apart, keep their order and stay on the page while there is room', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 300, noNaN: true }), { maxLength: 12 }), (places) => {
        const spread = spreadLabels(places, 18, 0, 300);
        const order = places.map((_, i) => i).sort((a, b) => places[a]! - places[b]!);
        order.forEach((index, k) => {
          if (k > 0) expect(spread[index]! - spread[order[k - 1]!]!).toBeGreaterThanOrEqual(18 - 1e-9);
          expect(spread[index]! >= -1e-9 && spread[index]! <= 300 + 1e-9).toBe(true);
        });
      }),
      { numRuns: 200 },
    );
  });

  test('labels with room stay in place', () => {
    expect(spreadLabels([200, 10, 100], 18, 0, 300)).toEqual([200, 10, 100]);
  });
});

test('overlapping stroke numbers are left out, never the last one', () => {
  const marks = [10, 26, 42, 58, 74].map((x) => ({ x, width: 9 }));
  expect(withRoomForText(marks, 3)).toEqual(marks);
  const crowded = marks.map((mark) => ({ ...mark, width: 18 }));
  expect(withRoomForText(crowded, 3)).toEqual([crowded[0], crowded[2], crowded[4]]);
  expect(withRoomForText([], 3)).toEqual([]);
});

const stroke = (number: number, peakKpa: number | null, partial = false): Stroke => ({
  number,
  timeS: number,
  peakKpa,
  peakPlusMinusKpa: peakKpa === null ? null : 1,
  partial,
  lost: peakKpa === null,
});

describe('ladder', () => {
  test('a lost stroke breaks the line, a partial one has a line of its own', () => {
    const line = {
      cylinder: 1,
      condition: 'dry' as const,
      strokes: [stroke(1, 300, true), stroke(2, 800), stroke(3, 900), stroke(4, null), stroke(5, 950)],
      fit: null,
    };
    const drawn = ladderDrawing([line], 'kPa', 400, 300).lines[0]!;
    expect(drawn.path.match(/M/g)).toHaveLength(2);
    expect(drawn.path.match(/L/g)).toHaveLength(1);
    expect(drawn.partialPath.match(/[ML]/g)).toEqual(['M', 'L']);
    expect(drawn.points.map((point) => point.number)).toEqual([1, 2, 3, 5]);
  });

  test('names of many lines stay within the plot, those with equal ends in the order of their cylinders', () => {
    const lines = Array.from({ length: 15 }, (_, i) => ({
      cylinder: i < 12 ? i + 1 : i - 2,
      condition: i < 12 ? ('dry' as const) : ('wet' as const),
      // Their ends differ by less than a pixel, and not in the order of the cylinders.
      strokes: [stroke(1, 600), stroke(2, 1200 - ((i * 7) % 12) * 0.05)],
      fit: null,
    }));
    const drawing = ladderDrawing(lines, 'kPa', 358, ladderHeight(lines, 358));
    const labels = drawing.lines.map(({ labelY }) => labelY!);
    expect(labels).toEqual([...labels].sort((a, b) => a - b));
    expect(Math.max(...labels)).toBeLessThanOrEqual(drawing.bottom);
    // `12 wet` is some 56 pixels wide, and the page has a margin.
    expect(358 - (drawing.right + 14)).toBeGreaterThanOrEqual(56);
  });

  test('higher pressures are drawn higher, in any unit, and the fitted law passes through its points', () => {
    const peak = (k: number) => 1200 - 500 * Math.exp(-(k - 1) / 2);
    const line = {
      cylinder: 2,
      condition: 'wet' as const,
      strokes: [1, 2, 3, 4].map((k) => stroke(k, peak(k))),
      fit: { finalKpa: 1200, riseKpa: 500, timeConstantStrokes: 2, timeConstantPlusMinus: 0.1 },
    };
    for (const unit of ['psi', 'kPa', 'bar', 'kgf/cm2'] as const) {
      const drawn = ladderDrawing([line], unit, 400, 300).lines[0]!;
      const ys = drawn.points.map((point) => point.y);
      expect(ys).toEqual([...ys].sort((a, b) => b - a));
      for (const point of drawn.points) {
        expect(drawn.fitPath).toContain(`${point.x.toFixed(1)} ${point.y.toFixed(1)}`);
      }
    }
  });
});

describe('aligned traces', () => {
  const trace = (rate: number, seconds: number, value: (t: number) => number, gaps = [] as never[]) => {
    const n = rate * seconds;
    const timeS = Float64Array.from({ length: n }, (_, i) => i / rate);
    return { timeS, pressureKpa: timeS.map(value), gaps };
  };

  test('no top is lost with few columns', () => {
    const spiky = trace(1000, 4, (t) => (Math.abs(t - 2.345) < 5e-4 ? 900 : 10));
    const { pressureKpa, timeS } = alignColumns([{ trace: spiky, shiftS: 0, zeroKpa: 0 }], 0, 4, 40);
    expect(Math.max(...pressureKpa[0]!.map((kpa) => kpa ?? 0))).toBe(900);
    expect(timeS.every((t, i) => i === 0 || t > timeS[i - 1]!)).toBe(true);
  });

  test('zero and shift are subtracted', () => {
    const step = trace(100, 4, (t) => (t < 1 ? 5 : 105));
    const { timeS, pressureKpa } = alignColumns([{ trace: step, shiftS: 1, zeroKpa: 5 }], -1, 2, 300);
    const at = (t: number) => pressureKpa[0]![timeS.findIndex((x) => x >= t)];
    expect(at(-0.5)).toBeCloseTo(0);
    expect(at(0.5)).toBeCloseTo(100);
  });

  test('a sparse trace is joined between its samples, never across a gap', () => {
    const sparse = {
      timeS: Float64Array.of(0, 1, 2, 3),
      pressureKpa: Float64Array.of(0, 100, 200, 300),
      gaps: [{ startS: 1, endS: 2, reason: 'packets-lost' as const }],
    };
    const { timeS, pressureKpa } = alignColumns([{ trace: sparse, shiftS: 0, zeroKpa: 0 }], 0, 3, 60);
    const at = (t: number) => pressureKpa[0]![timeS.findIndex((x) => x >= t)];
    expect(at(0.5)).toBeCloseTo(100 * timeS[timeS.findIndex((x) => x >= 0.5)]!, 6);
    expect(at(1.5)).toBeNull();
    expect(at(2.5)).toBeGreaterThan(200);
  });
});
