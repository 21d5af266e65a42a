import { describe, expect, test } from 'vitest';
import { engineLabel } from '../../src/components/engine-label.ts';
import { swapCylinders } from '../../src/components/plan-edit.ts';
import { readerFor } from '../../src/components/reader.ts';
import { trendDrawing } from '../../src/components/trend-geometry.ts';
import { en } from '../../src/copy/en.ts';
import { fitted } from '../../src/platform/photo.ts';
import { cardRemark } from '../../src/screens/engine/card-fields.tsx';
import {
  type CardForm,
  cardFormOf,
  cardOf,
  cardProblems,
  EMPTY_CARD,
} from '../../src/screens/engine/card-form.ts';
import { isDue, plugState, runningNow } from '../../src/screens/engine/plug-due.ts';
import { EMPTY_PLUG, plugContent, plugProblems, saysSomething } from '../../src/screens/engine/plug-form.ts';
import { toggleSign } from '../../src/screens/engine/plug-words.ts';
import { changes } from '../../src/screens/engine/trend-tests.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { METRIC_UNITS, US_UNITS } from '../../worker/core/quantities.ts';
import type { EngineIdentity } from '../../worker/file/records.ts';
import { engineRecord, plugRecord, testRecord } from '../support/store-records.ts';

const METRIC = { unit: 'psi', units: METRIC_UNITS } as const;

const card = (patch: Partial<CardForm>): CardForm => ({ ...EMPTY_CARD, name: 'Estate', ...patch });

describe('the engine card', () => {
  test('reads back unchanged in any unit', () => {
    const engine = {
      ...engineRecord('e1', {
        facts: {
          cycle: 4,
          fuel: 'spark',
          layout: swapCylinders(presetLayout('vee', 6), 2, 5),
          manual: { minKpa: 901.234, maxKpa: 1300.5, spreadKpa: 170.1 },
          geometry: {
            boreMm: 84,
            strokeMm: 86.4,
            rodMm: 143.5,
            compressionRatio: 9.2,
            intakeClosesDegAbdc: 62,
          },
        },
      }),
      odometerKm: 120_345,
      hours: 12.5,
      plugInterval: { km: 30_000, hours: undefined },
      identity: { make: 'Own', registration: 'AB12 CDE', customer: 'A. Example' },
    };
    for (const unit of ['psi', 'kPa', 'bar', 'kgf/cm2'] as const) {
      for (const units of [METRIC_UNITS, US_UNITS]) {
        const choice = { unit, units };
        expect({ ...engine, ...cardOf(cardFormOf(engine, choice), choice, [], engine) }).toEqual(engine);
      }
    }
  });

  test('keeps registration and customer as typed, without spaces around, and nothing when all are empty', () => {
    const typed = card({ registration: ' AB12 CDE ', customer: 'Zoë Müller' });
    expect(cardOf(typed, { unit: 'psi', units: METRIC_UNITS }, [])?.identity).toEqual({
      registration: 'AB12 CDE',
      customer: 'Zoë Müller',
    });
    expect(
      cardOf(card({ customer: '  ' }), { unit: 'psi', units: METRIC_UNITS }, [])?.identity,
    ).toBeUndefined();
  });

  test('engines of the same name are told apart by registration and customer', () => {
    const named = (identity?: EngineIdentity) => engineLabel({ name: 'Estate', identity });
    expect(named()).toBe('Estate');
    expect(named({ make: 'Own' })).toBe('Estate');
    expect(named({ customer: 'A. Example' })).toBe('Estate (A. Example)');
    expect(named({ registration: 'AB 1', customer: 'A. Example' })).toBe('Estate (AB 1 · A. Example)');
  });

  test.each<[Partial<CardForm>, string]>([
    [{ bore: '8.4' }, 'bore lengthRange'],
    [{ bore: 'wide' }, 'bore notNumber'],
    [{ stroke: '86', rod: '40' }, 'rod rodRange'],
    [{ intakeCloses: '190' }, 'intakeCloses angleRange'],
    [{ odometer: '-1' }, 'odometer distanceRange'],
    [{ plugKm: '0' }, 'plugKm intervalRange'],
  ])('%o is reported at its field, and the card is not saved', (patch, said) => {
    const found = cardProblems(card(patch), METRIC, []).card;
    expect(found.map(({ field, code }) => `${field} ${code}`)).toEqual([said]);
    expect(cardOf(card(patch), METRIC, [])).toBeNull();
    expect({ ...en.card, notNumber: en.setup.notNumber }).toHaveProperty(said.split(' ')[1]!);
  });

  test('a cylinder with tests cannot be removed from the plan', () => {
    const found = cardProblems(card({ count: '4' }), METRIC, [1, 6, 5]);
    expect(found.card).toEqual([{ field: 'layout', code: 'cylinderMeasured', cylinders: [5, 6] }]);
  });
});

describe('a card in American units', () => {
  const choice = { unit: 'psi', units: US_UNITS } as const;
  const typed = { bore: '3.386', stroke: '3.386', odometer: '74565', plugKm: '30000' };

  test('is stored in mm and km, and shows what was typed', () => {
    const content = cardOf(card(typed), choice, []);
    expect(content?.facts.geometry.boreMm).toBeCloseTo(86.0044, 9);
    expect(content?.odometerKm).toBeCloseTo(120_000.7, 1);
    const engine = { ...engineRecord('e1'), ...content };
    expect(cardFormOf(engine, choice)).toMatchObject(typed);
  });

  test('words its limits in inches and miles', () => {
    const reader = readerFor('psi', 'en-US', US_UNITS);
    const { card: problems } = cardProblems(card({ bore: '86', odometer: '9000000' }), choice, []);
    const remark = (field: 'bore' | 'odometer') =>
      cardRemark(problems, field, reader)?.replaceAll('\u00a0', ' ');
    expect(remark('bore')).toBe('Between 0.394 in and 39.370 in.');
    expect(remark('odometer')).toBe('Between 0 and 3,106,856 mi.');
  });

  test('a plug that goes in keeps the odometer of the engine, to its last digit', () => {
    const form = { ...EMPTY_PLUG, signs: ['oily'] as const, gap: '0.031', odometer: '74778.9' };
    const content = plugContent(form, US_UNITS, { odometerKm: 120_345 });
    expect(content).toMatchObject({ odometerKm: 120_345 });
    expect(content?.gapMm).toBeCloseTo(0.7874, 9);
    expect(plugProblems({ ...form, gap: '0.8' }, US_UNITS)).toEqual([{ field: 'gap', code: 'gapRange' }]);
  });
});

describe('when plugs are due', () => {
  const engine = engineRecord('e1', { odometerKm: 40_000, plugInterval: { km: 30_000 } });
  const tests = [testRecord('t1', 'e1', { conditions: { odometerKm: 62_000, ticked: [] } })];
  const changed = plugRecord('p1', 'e1', {
    replaced: true,
    odometerKm: 30_000,
    seenAt: '2025-01-01T00:00:00Z',
  });
  const seen = plugRecord('p2', 'e1', { odometerKm: 61_000, signs: ['oily'] });

  test('counts from the last change to the largest known figure', () => {
    const running = runningNow(engine, tests, [changed, seen]);
    expect(running).toEqual({ odometerKm: 62_000, hours: undefined });
    const state = plugState(1, [changed, seen], running, engine.plugInterval)!;
    expect(state.last.id).toBe('p2');
    expect(state.changed?.id).toBe('p1');
    expect(state.km).toEqual({ since: 32_000, at: 60_000, left: -2000 });
    expect(state.hours).toBeNull();
    expect(isDue(state)).toBe(true);
  });

  test('is unknown without an interval, a change or an inspection', () => {
    const running = { odometerKm: 62_000, hours: undefined };
    expect(plugState(1, [changed], running, undefined)?.km).toEqual({ since: 32_000, at: null, left: null });
    expect(plugState(1, [seen], running, { km: 30_000 })?.km).toBeNull();
    expect(plugState(2, [seen], running, { km: 30_000 })).toBeNull();
  });
});

describe('the plug form', () => {
  test('normal and a fault exclude each other', () => {
    expect(toggleSign(['normal'], 'oily')).toEqual(['oily']);
    expect(toggleSign(['oily', 'gap-wide'], 'normal')).toEqual(['normal']);
    expect(toggleSign(['oily', 'gap-wide'], 'oily')).toEqual(['gap-wide']);
  });

  test('reports invalid figures, and saves nothing until they are valid', () => {
    const form = { ...EMPTY_PLUG, signs: ['oily'] as const };
    expect(plugProblems({ ...form, gap: '8' }, METRIC_UNITS)).toEqual([{ field: 'gap', code: 'gapRange' }]);
    expect(plugContent({ ...form, odometer: 'far' }, METRIC_UNITS)).toBeNull();
    expect(plugContent({ ...form, gap: '0,8' }, METRIC_UNITS)).toMatchObject({ gapMm: 0.8, hasPhoto: false });
    expect(saysSomething(EMPTY_PLUG)).toBe(false);
  });
});

describe('the trend', () => {
  const at = (place: number, ...finals: number[]) => ({
    at: place,
    finalsKpa: new Map(finals.map((kpa, i) => [i + 1, kpa])),
  });
  const tests = [at(3, 1150, 800), at(1, 1200, 1180), at(2, 1190, 1000)];

  test('goes from left to right in the order of the axis, with the limits in view', () => {
    const { lines, limits, left, right, bottom } = trendDrawing(
      tests,
      { minKpa: 900, maxKpa: 1400 },
      'kPa',
      400,
      300,
    );
    const falling = lines[1]!.points;
    expect(falling.map(({ x }) => x)).toEqual([...falling.map(({ x }) => x)].sort((a, b) => a - b));
    expect(falling.map(({ y }) => y)).toEqual([...falling.map(({ y }) => y)].sort((a, b) => a - b));
    // Higher on the page is more pressure: 900 kPa lies between the second and the last reading.
    expect(limits[0]!.y).toBeGreaterThan(falling[1]!.y);
    expect(limits[0]!.y).toBeLessThan(falling[2]!.y);
    for (const { y } of [...limits, ...lines.flatMap((line) => line.points)]) {
      expect(y).toBeGreaterThanOrEqual(0);
      expect(y).toBeLessThanOrEqual(bottom);
    }
    for (const { x } of falling) {
      expect(x).toBeGreaterThan(left);
      expect(x).toBeLessThan(right);
    }
  });

  test('labels of the axis do not overlap; the last is always shown', () => {
    const many = Array.from({ length: 30 }, (_, i) => at(i, 1000));
    const { ticks } = trendDrawing(many, {}, 'psi', 390, 300);
    expect(ticks.at(-1)!.at).toBe(29);
    // A label is centred on its place; the first begins there and the last ends there.
    const ends = ticks.map(({ x }, i) => {
      const share = i === 0 ? 0 : i === ticks.length - 1 ? 1 : 0.5;
      return { leftX: x - 70 * share, rightX: x + 70 * (1 - share) };
    });
    for (const [i, { leftX }] of ends.slice(1).entries()) expect(leftX - ends[i]!.rightX).toBeGreaterThan(8);
  });

  test('overlapping markers are thinned except the last; few are all drawn', () => {
    const many = Array.from({ length: 100 }, (_, i) => at(i, 1000 + (i % 3)));
    const [line] = trendDrawing(many, {}, 'psi', 358, 300).lines;
    const { marked, points } = line!;
    expect(points).toHaveLength(100);
    expect(marked.at(-1)).toEqual(points.at(-1));
    expect(marked.length).toBeGreaterThan(4);
    for (const [i, { x }] of marked.slice(1).entries()) expect(x - marked[i]!.x).toBeGreaterThan(20);
    const [few] = trendDrawing(many.slice(0, 8), {}, 'psi', 358, 300).lines;
    expect(few!.marked).toEqual(few!.points);
  });

  test('two tests at the same place, and no tests, are drawn', () => {
    expect(trendDrawing([at(5, 1000), at(5, 1010)], {}, 'bar', 390, 300).lines[0]!.points).toHaveLength(2);
    expect(trendDrawing([], {}, 'bar', 390, 300).lines).toEqual([]);
  });

  test('states the change from the first to the last', () => {
    expect(changes([...tests].sort((a, b) => a.at - b.at))).toEqual([
      { cylinder: 1, byKpa: -50 },
      { cylinder: 2, byKpa: -380 },
    ]);
  });
});

test('pictures shrink in proportion and are never enlarged', () => {
  expect(fitted(4000, 3000, 1024)).toEqual({ width: 1024, height: 768 });
  expect(fitted(300, 200, 1024)).toEqual({ width: 300, height: 200 });
  expect(fitted(9000, 1, 1024)).toEqual({ width: 1024, height: 1 });
});
