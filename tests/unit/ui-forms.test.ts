import { describe, expect, test } from 'vitest';
import { en } from '../../src/copy/en.ts';
import {
  exampleFaces,
  exampleStrokes,
  lackOf,
  readTyped,
  strokesIn,
  withFigure,
  withoutLast,
  withStroke,
} from '../../src/screens/dial/typed-figures.ts';
import {
  EMPTY_FORM,
  type EngineForm,
  factsOf,
  formOf,
  layoutOf,
  problemsOf,
} from '../../src/screens/engine/engine-form.ts';
import { patchOfCount, patchOfKind, patchOfRows } from '../../src/screens/engine/layout-patch.ts';
import { assignmentsFor, formFor } from '../../src/screens/recordings/recording-engine.ts';
import { toKpa } from '../../worker/core/units.ts';

const form = (patch: Partial<EngineForm>): EngineForm => ({ ...EMPTY_FORM, name: 'Estate', ...patch });
const codes = (patch: Partial<EngineForm>) =>
  problemsOf(form(patch), 'psi').map((one) => `${one.field} ${one.code}`);

describe('engine form', () => {
  test('a name and the presets are enough', () => {
    expect(codes({})).toEqual([]);
    expect(factsOf(form({}), 'psi')?.layout).toEqual({ kind: 'inline', rows: [[1, 2, 3, 4]] });
  });

  test.each<[Partial<EngineForm>, string]>([
    [{ name: '  ' }, 'name needName'],
    [{ count: '0' }, 'count countRange'],
    [{ count: '2.5' }, 'count countRange'],
    [{ count: '' }, 'count countRange'],
    [{ min: '180', max: '150' }, 'max minAboveMax'],
    [{ min: 'lots' }, 'min notNumber'],
    [{ max: '12000' }, 'max pressureRange'],
    [{ max: '150', spread: '160' }, 'spread spreadRange'],
    [{ spread: '-1' }, 'spread spreadRange'],
    [{ ratio: '95' }, 'ratio ratioRange'],
    [{ kind: 'rows', rows: '1 2\n2 3' }, 'rows rowsTwice'],
    [{ kind: 'rows', rows: '1 2\n4' }, 'rows rowsGap'],
    [{ kind: 'rows', rows: ' \n' }, 'rows rowsEmpty'],
    [{ kind: 'rows', rows: '1 x' }, 'rows countRange'],
  ])('%o is reported at its field', (patch, said) => {
    expect(codes(patch)).toEqual([said]);
    expect(factsOf(form(patch), 'psi')).toBeNull();
    expect(en.setup).toHaveProperty(said.split(' ')[1]!);
  });

  test('custom rows begin with the layout shown, and follow the counter', () => {
    const vee = form({ kind: 'vee', count: '6' });
    const custom = { ...vee, ...patchOfKind('rows', vee) };
    expect(layoutOf(custom)?.rows).toEqual(layoutOf(vee)?.rows);
    const rows = (count: string) => patchOfCount(count, form({ kind: 'rows', rows: '1 3 5\n2 4' })).rows;
    expect(rows('7')).toBe('1 3 5\n2 4 6 7');
    expect(rows('3')).toBe('1 3\n2');
    expect(rows('1')).toBe('1');
    expect(patchOfCount('', form({ kind: 'rows' })).rows).toBeUndefined();
    expect(patchOfRows('1 3 5\n2 4').count).toBe('5');
  });

  test('custom rows may have any length', () => {
    expect(layoutOf(form({ kind: 'rows', rows: '1 3 5\n2, 4' }))?.rows).toEqual([
      [1, 3, 5],
      [2, 4],
    ]);
  });

  test('reads back unchanged', () => {
    const facts = factsOf(
      form({ min: '120', max: '185', spread: '25', ratio: '9.5', fuel: 'diesel' }),
      'psi',
    )!;
    for (const unit of ['psi', 'kPa', 'bar', 'kgf/cm2'] as const) {
      const back = factsOf(formOf('Estate', facts, unit), unit)!;
      expect(back.manual.minKpa).toBeCloseTo(toKpa(120, 'psi'), -0.5);
      expect(back.manual.maxKpa).toBeCloseTo(toKpa(185, 'psi'), -0.5);
      expect({ ...back, manual: null }).toEqual({ ...facts, manual: null });
    }
  });
});

describe('figures of a dial gauge', () => {
  test('strokes apart by spaces, with decimal commas', () => {
    expect(readTyped('5,5 8,5  9.5', '', 'bar', 'spark')).toEqual({
      ok: true,
      strokesKpa: [550, 850, 950],
      finalKpa: undefined,
    });
  });

  test('the final figure alone is enough', () => {
    expect(readTyped('', '1030', 'kPa', 'spark')).toEqual({ ok: true, strokesKpa: [], finalKpa: 1030 });
  });

  test('the example shown has the decimal mark of its reader', () => {
    expect(exampleStrokes('bar', 'en')).toBe('5.5 8.3 9.6 10');
    expect(exampleStrokes('bar', 'de')).toBe('5,5 8,3 9,6 10');
  });

  test('the example shown is accepted', () => {
    for (const unit of ['psi', 'kPa', 'bar', 'kgf/cm2'] as const) {
      for (const locale of ['en', 'de']) {
        expect(readTyped(exampleStrokes(unit, locale), '', unit, 'spark').ok).toBe(true);
        expect(readTyped(exampleFaces(unit, locale), '', unit, 'spark', true).ok).toBe(true);
      }
    }
  });

  test.each([
    ['', '', 'final none'],
    ['80 x 120', '', 'strokes number'],
    ['80 70', '', 'strokes falling'],
    ['80 9000', '', 'strokes range'],
    ['', '1750', 'final range'],
    ['', '-5', 'final range'],
    ['', 'high', 'final number'],
  ])('strokes "%s" and last "%s"', (strokes, final, said) => {
    const outcome = readTyped(strokes, final, 'psi', 'spark');
    expect(outcome.ok ? null : `${outcome.problem.field} ${outcome.problem.code}`).toBe(said);
  });
});

describe('tapping along with the needle', () => {
  test('each tap adds a stroke, and the last can be undone', () => {
    const three = withStroke(withStroke(withStroke('')));
    expect(three).toBe('? ? ?');
    expect(withoutLast(three)).toBe('? ?');
    expect(withoutLast('')).toBe('');
  });

  test('figures are set in any order, and the others stay open', () => {
    const lastFirst = withFigure(withFigure('? ? ?', 2, 141, 'psi'), 0, 80, 'psi');
    expect(lastFirst).toBe('80 ? 141');
    expect(strokesIn(lastFirst)).toEqual([80, null, 141]);
  });

  test('a sum of tenths is written with one decimal', () => {
    expect(withFigure('?', 0, 0.1 + 0.2, 'bar')).toBe('0.3');
  });

  test('first, third and last are enough; a last stroke without a figure is not', () => {
    expect(readTyped('80 ? 120', '141', 'psi', 'spark')).toMatchObject({
      ok: true,
      strokesKpa: [expect.closeTo(551.6, 1), null, expect.closeTo(827.4, 1)],
    });
    expect(readTyped('80 ? 141', '', 'psi', 'spark').ok).toBe(true);
    expect(readTyped('80 120 ?', '', 'psi', 'spark')).toMatchObject({ problem: { code: 'none' } });
    expect(readTyped('80 ? 70', '', 'psi', 'spark')).toMatchObject({
      problem: { code: 'falling', stroke: 3 },
    });
  });

  test.each([
    [0, 'level-only'],
    [4, 'few-strokes'],
    [5, 'no-times'],
  ])('%i strokes lack %s', (strokes, lack) => {
    expect(lackOf(strokes)).toBe(lack);
    expect(en.typed.lack).toHaveProperty(lack);
  });

  test('a diesel accepts figures that no petrol engine reaches', () => {
    expect(readTyped('', '450', 'psi', 'diesel').ok).toBe(true);
    expect(readTyped('', '450', 'psi', 'spark').ok).toBe(false);
    expect(problemsOf(form({ max: '450' }), 'psi')).toEqual([{ field: 'max', code: 'pressureRange' }]);
    expect(problemsOf(form({ max: '450', fuel: 'diesel' }), 'psi')).toEqual([]);
  });
});

describe('recordings', () => {
  const recording = (fileName: string, header: object) => ({
    fileName,
    header: { geometry: {}, manual: {}, ...header },
    trace: { timeS: new Float64Array(), pressureKpa: new Float64Array(), gaps: [] },
  });

  test('a file’s own cylinder wins, the others get free numbers', () => {
    const traces = [
      recording('a.csv', {}),
      recording('b.csv', { cylinder: 1, condition: 'wet' }),
      recording('c.csv', {}),
    ];
    expect(assignmentsFor(traces)).toEqual([
      { cylinder: '2', condition: 'dry' },
      { cylinder: '1', condition: 'wet' },
      { cylinder: '3', condition: 'dry' },
    ]);
  });

  test('the engine form starts with the data of the files', () => {
    const traces = [
      recording('x.csv', { cylinder: 6, cycle: 2, engine: 'Boat', manual: { minKpa: toKpa(90, 'psi') } }),
    ];
    expect(formFor(traces, 'psi')).toMatchObject({ name: 'Boat', count: '6', cycle: 2, min: '90' });
  });
});
