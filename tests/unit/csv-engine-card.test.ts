import { describe, expect, test } from 'vitest';
import { presetLayout } from '../../worker/core/layouts.ts';
import { parseEngineCard } from '../../worker/file/card/engine-card.ts';
import { engineFromHeaders } from '../../worker/file/card/engine-facts.ts';
import type { TraceHeader } from '../../worker/file/csv/trace-file.ts';

const read = (card: unknown) => parseEngineCard(JSON.stringify(card));

describe('an engine card', () => {
  test('holds the known data of an engine', () => {
    const card = {
      name: 'Tired four',
      cycle: 4,
      fuel: 'diesel',
      layout: { kind: 'inline', rows: [[1, 2, 3, 4]], neighbours: [[1, 2]] },
      manual: { minKpa: 2000, maxKpa: 3000, spreadKpa: 300 },
      geometry: { boreMm: 84, strokeMm: 90, rodMm: 140, compressionRatio: 18, intakeClosesDegAbdc: 40 },
      conditions: { ambientKpa: 98.2, throttleOpen: true },
    };
    expect(read(card)).toEqual({ ok: true, card });
  });

  test('holds the condition of the plugs', () => {
    const card = {
      plugs: [
        { cylinder: 1, signs: ['normal'] },
        { cylinder: 3, signs: ['oily', 'gap-wide'] },
      ],
    };
    expect(read(card)).toEqual({ ok: true, card });
  });

  test('may be empty, and may name its layout by a preset', () => {
    expect(read({})).toEqual({ ok: true, card: {} });
    expect(read({ layout: 'V6' })).toEqual({ ok: true, card: { layout: presetLayout('vee', 6) } });
  });

  test.each<[string, unknown, string]>([
    ['manual.minKpa', { manual: { minKpa: 1200, maxKpa: 900 } }, 'must not be above maxKpa'],
    ['manual.minKpa', { manual: { minKpa: -5 } }, 'must be at least 1'],
    ['manual.maxKpa', { manual: { maxKpa: 1e6 } }, 'must be at most 20000'],
    ['manual.spreadKpa', { manual: { spreadKpa: '10 psi' } }, 'must be a number'],
    ['manul', { manul: {} }, 'spelling'],
    ['geometry.bore', { geometry: { bore: 80 } }, 'spelling'],
    ['geometry.compressionRatio', { geometry: { compressionRatio: 0.9 } }, 'must be at least 1.5'],
    ['cycle', { cycle: 3 }, 'must be 2 or 4'],
    ['fuel', { fuel: 'wood' }, 'must be spark or diesel'],
    ['layout', { layout: 'x12' }, 'is no layout'],
    ['layout.kind', { layout: { kind: 'star', rows: [[1]] } }, 'must be inline'],
    ['layout.rows', { layout: { kind: 'inline', rows: [[]] } }, 'must hold a cylinder'],
    [
      'layout.rows',
      {
        layout: {
          kind: 'vee',
          rows: [
            [1, 2],
            [2, 3],
          ],
        },
      },
      'each cylinder once',
    ],
    ['layout.rows.0.1', { layout: { kind: 'inline', rows: [[1, 0]] } }, 'must be at least 1'],
    [
      'layout.neighbours',
      { layout: { kind: 'inline', rows: [[1, 2]], neighbours: [[1, 5]] } },
      'two cylinders of the layout',
    ],
    ['name', { name: 7 }, 'must be text'],
    ['plugs', { plugs: { 3: 'oily' } }, 'must be a list'],
    ['plugs.0.signs.0', { plugs: [{ cylinder: 3, signs: ['greasy'] }] }, 'oily'],
    ['plugs.0.signs', { plugs: [{ cylinder: 3, signs: [] }] }, 'what the plug looks like'],
    ['plugs.0.cylinder', { plugs: [{ cylinder: 0, signs: ['ash'] }] }, 'must be at least 1'],
    ['plugs', { fuel: 'diesel', plugs: [{ cylinder: 3, signs: ['ash'] }] }, 'no spark plugs'],
    [
      'plugs',
      {
        plugs: [
          { cylinder: 3, signs: ['ash'] },
          { cylinder: 3, signs: ['oily'] },
        ],
      },
      'each cylinder once',
    ],
    ['conditions.ambientKpa', { conditions: { ambientKpa: 14.7 } }, 'must be at least 45'],
    ['conditions.throttleOpen', { conditions: { throttleOpen: 'wide' } }, 'true or false'],
  ])('reports the problem at %s', (field, card, words) => {
    const outcome = read(card);
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'bad-field', field } });
    expect(!outcome.ok && outcome.problem.detail).toContain(words);
  });

  test.each(['', 'cycle: 4', '[1,2]', 'null', '7', `"${'x'.repeat(200_000)}"`])(
    'refuses an invalid card',
    (text) => {
      expect(parseEngineCard(text)).toMatchObject({ ok: false });
    },
  );

  test('ignores prototypes', () => {
    expect(parseEngineCard('{"__proto__":{"cycle":2}}')).toMatchObject({
      ok: false,
      problem: { field: '__proto__' },
    });
  });
});

describe('the engine described by several headers', () => {
  const header = (more: Partial<TraceHeader> = {}): TraceHeader => ({ geometry: {}, manual: {}, ...more });

  test('by default four-stroke, spark ignition, the measured cylinders in line', () => {
    expect(engineFromHeaders([header(), header()], [1, 2])).toMatchObject({
      cycle: 4,
      fuel: 'spark',
      layout: presetLayout('inline', 2),
    });
  });

  test('the first header with a value wins', () => {
    const engine = engineFromHeaders(
      [
        header({ geometry: { boreMm: 80 } }),
        header({ cycle: 2, geometry: { boreMm: 90, rodMm: 130 }, manual: { minKpa: 900 } }),
      ],
      [1, 2],
    );
    expect(engine).toMatchObject({ cycle: 2, geometry: { boreMm: 80, rodMm: 130 }, manual: { minKpa: 900 } });
  });

  test('the card takes precedence over every header, figure by figure', () => {
    const headers = [header({ cycle: 2, engine: 'v6', manual: { minKpa: 900, maxKpa: 1200 } })];
    const card = { cycle: 4, layout: presetLayout('flat', 6), manual: { minKpa: 1000 } } as const;
    expect(engineFromHeaders(headers, [1, 6], card)).toMatchObject({
      cycle: 4,
      layout: card.layout,
      manual: { minKpa: 1000, maxKpa: 1200 },
    });
  });

  test.each([
    ['inline-6', presetLayout('inline', 6)],
    ['V8', presetLayout('vee', 8)],
    ['The old V6, tired', presetLayout('vee', 6)],
    ['boxer 4', presetLayout('flat', 4)],
    ['radial-7', presetLayout('radial', 7)],
    ['rotary-3', presetLayout('rotors', 3)],
    ['Model 12', presetLayout('inline', 3)],
    ['v2', presetLayout('inline', 3)],
  ])('finds the layout in the name %s', (engine, layout) => {
    expect(engineFromHeaders([header({ engine })], [1, 3]).layout).toEqual(layout);
  });

  test('a high compression ratio is a diesel, unless the header says otherwise', () => {
    const diesel = { geometry: { compressionRatio: 18 } };
    expect(engineFromHeaders([header(diesel)], [1]).fuel).toBe('diesel');
    expect(engineFromHeaders([header({ ...diesel, fuel: 'spark' })], [1]).fuel).toBe('spark');
  });
});
