/** The screen that asks for the columns of a logger's file: its choices, warnings, pictures and words. */
import { describe, expect, test } from 'vitest';
import { columnsWords } from '../../src/copy/en/columns.ts';
import {
  draftOf,
  guessDraft,
  type MappingDraft,
  mappingFrom,
  withMeaning,
  withSignal,
} from '../../src/screens/columns/draft.ts';
import { usableMappings, withMapping, withoutShape } from '../../src/screens/columns/saved-mappings.ts';
import { sparkPath } from '../../src/screens/columns/sparkline-geometry.ts';
import { natureWarning, readingWarning } from '../../src/screens/columns/warnings.ts';
import { NOTHING_READ, type Reading } from '../../worker/core/reading.ts';
import type { ColumnMapping } from '../../worker/file/columns/column-mapping.ts';
import { natureOf } from '../../worker/file/columns/column-nature.ts';
import { previewFile } from '../../worker/file/columns/preview.ts';

const wave = (i: number) => (2 + 1.5 * Math.sin(i / 4)).toFixed(3);
const preview = (line: (i: number) => string, names = '') => {
  const found = previewFile(`${names}${Array.from({ length: 200 }, (_, i) => `${line(i)}\n`).join('')}`);
  if ('problem' in found) throw new Error(found.problem.detail);
  return found;
};
const twoChannels = preview((i) => `${i * 5},${wave(i)},${wave(i + 3)}`);
const complete: MappingDraft = {
  ...guessDraft(twoChannels),
  unit: 'psi',
  points: { lowReading: '0,5', lowPressure: '0', highReading: '4,5', highPressure: '300' },
};

describe('the choices', () => {
  test('begin with a guess', () => {
    const draft = guessDraft(twoChannels);
    expect(draft.columns.map(({ meaning, cylinder }) => [meaning, cylinder])).toEqual([
      ['time', ''],
      ['pressure', '1'],
      ['pressure', '2'],
    ]);
    expect(draft).toMatchObject({ timeUnit: 'ms', signal: 'volts', unit: '' });
    expect(draft.points).toMatchObject({ lowReading: '0.5', highReading: '4.5' });
  });

  test('take the unit and the cylinders from names', () => {
    const named = preview((i) => `${i / 200},${wave(i)},${wave(i)}`, 't,Cyl 3 [bar],Cyl 1 wet [bar]\n');
    const draft = guessDraft(named);
    expect(draft).toMatchObject({ signal: 'pressure', unit: 'bar', timeUnit: 's' });
    expect(draft.columns.slice(1).map(({ cylinder, condition }) => [cylinder, condition])).toEqual([
      ['3', ''],
      ['1', 'wet'],
    ]);
  });

  test('leave the cylinder open when a file has one pressure', () => {
    const draft = guessDraft(preview((i) => `${i * 5};${wave(i)}`));
    expect(draft.columns[1]).toMatchObject({ meaning: 'pressure', cylinder: '' });
  });

  test('make a mapping, which gives the same choices again', () => {
    const made = mappingFrom(complete, twoChannels.shape);
    if (!('mapping' in made)) throw new Error(JSON.stringify(made.problems));
    expect(made.mapping).toMatchObject({
      time: { column: 1, unit: 'ms' },
      pressures: [
        {
          column: 2,
          cylinder: 1,
          unit: 'psi',
          points: [
            { reading: 0.5, pressure: 0 },
            { reading: 4.5, pressure: 300 },
          ],
        },
        { column: 3, cylinder: 2 },
      ],
    });
    expect(mappingFrom(draftOf(made.mapping), twoChannels.shape)).toEqual(made);
  });

  test('have at most one time', () => {
    const moved = withMeaning(complete, 2, 'time');
    expect(moved.columns.map(({ meaning }) => meaning)).toEqual(['other', 'time', 'pressure']);
    const back = withMeaning(withMeaning(moved, 1, 'time'), 2, 'pressure');
    expect(back.columns.map(({ meaning }) => meaning)).toEqual(['time', 'pressure', 'pressure']);
  });

  const points = (patch: Partial<MappingDraft['points']>) => ({
    ...complete,
    points: { ...complete.points, ...patch },
  });
  test.each<[string, MappingDraft, string]>([
    ['the unit', { ...complete, unit: '' }, 'no-unit'],
    ['the signal', { ...complete, signal: '' }, 'no-signal'],
    ['a point', points({ highPressure: '' }), 'no-point'],
    ['a point that is no figure', points({ highPressure: '300 psi' }), 'no-point'],
    ['two equal readings', points({ highReading: '0.50' }), 'same-reading'],
    ['two equal pressures', points({ lowPressure: '300' }), 'same-pressure'],
    ['the time and the rate', withMeaning(complete, 1, 'other'), 'rate'],
    ['a rate of zero', { ...withMeaning(complete, 1, 'other'), rate: '0' }, 'rate'],
    ['any pressure', withMeaning(withMeaning(complete, 2, 'other'), 3, 'other'), 'no-pressure'],
    [
      'different cylinders',
      { ...complete, columns: complete.columns.map((one) => ({ ...one, cylinder: '1' })) },
      'cylinder-twice',
    ],
    [
      'a cylinder',
      { ...complete, columns: complete.columns.map((one) => ({ ...one, cylinder: '' })) },
      'no-cylinder',
    ],
    [
      'a whole cylinder',
      { ...complete, columns: complete.columns.map((one, i) => ({ ...one, cylinder: `${i}.5` })) },
      'bad-cylinder',
    ],
  ])('without %s: a problem with words', (_, draft, code) => {
    const made = mappingFrom(draft, twoChannels.shape);
    const codes = 'problems' in made ? made.problems.map((one) => one.code) : [];
    expect(codes).toContain(code);
    expect(columnsWords.problem).toHaveProperty(code);
  });

  test('a signal brings its usual readings', () => {
    expect(withSignal(complete, 'milliamps').points).toMatchObject({ lowReading: '4', highReading: '20' });
    expect(withSignal(complete, 'counts').points).toMatchObject({ lowReading: '', highReading: '' });
  });
});

describe('what is kept', () => {
  const made = mappingFrom(complete, twoChannels.shape) as { readonly mapping: ColumnMapping };
  test('one mapping a shape, the newest', () => {
    const other = { ...made.mapping, shape: { ...made.mapping.shape, separator: ';' as const } };
    const newer = { ...made.mapping, time: { rateHz: 200 } };
    expect(withMapping(withMapping([made.mapping], other), newer)).toEqual([newer, other]);
    expect(withoutShape([made.mapping, other], newer.shape)).toEqual([other]);
  });

  test('one that another version of the app wrote is not used', () => {
    expect(usableMappings([{ ...made.mapping, version: 2 }, null, 'x', made.mapping])).toHaveLength(1);
  });
});

describe('warnings', () => {
  const nature = (values: number[]) => natureOf(Float64Array.from(values));
  test.each([
    ['time', [5, 4, 3, 2], 'never-rises'],
    ['time', [1, 1, 1, 1], 'never-rises'],
    ['time', [1, 2, 3, 4], 'row-number'],
    ['time', [1, 3, 2, 4], 'falls'],
    ['time', [0, 5, 10, 15], undefined],
    ['pressure', [2, 2, 2, 2], 'constant'],
    ['pressure', [0, 5, 10, 15], 'only-rises'],
    ['pressure', [0, 5, 0, 5], undefined],
    ['other', [2, 2, 2, 2], undefined],
  ] as const)('%s %j: %s', (meaning, values, code) => {
    expect(natureWarning(meaning, nature([...values]), false)?.code).toBe(code);
  });

  const strokes = [{}] as unknown as Reading['strokes'];
  test.each([
    [{ strokes: [] }, 'gauge', 'no-strokes'],
    [{ finalKpa: 1100, zeroKpa: 0 }, 'gauge', undefined],
    [{ finalKpa: 1100, zeroKpa: 101 }, 'absolute', undefined],
    [{ finalKpa: 1100, zeroKpa: 101 }, 'gauge', 'rests-absolute'],
    [{ finalKpa: 1100, zeroKpa: 1 }, 'absolute', 'rests-gauge'],
    [{ finalKpa: 1100, zeroKpa: -80 }, 'gauge', 'rests-below'],
    [{ finalKpa: 80, zeroKpa: 0 }, 'gauge', 'low'],
    [{ finalKpa: 9000, zeroKpa: 0 }, 'gauge', 'high'],
  ] as const)('reading %j of a sensor that is %s: %s', (patch, reference, code) => {
    const reading: Reading = { ...NOTHING_READ, strokes, ...patch };
    expect(readingWarning(reading, reference)?.code).toBe(code);
  });
});

describe('a sparkline', () => {
  const pointsOf = (path: string) =>
    [...path.matchAll(/[ML]([\d.-]+) ([\d.-]+)/g)].map(([, x, y]) => [Number(x), Number(y)] as const);

  test('keeps a single spike among thousands of figures', () => {
    const values = new Float64Array(10_000);
    values[4321] = 9;
    const drawn = pointsOf(sparkPath(values, 100, 50));
    expect(drawn.some(([, y]) => y === 0)).toBe(true);
    expect(drawn.length).toBeLessThanOrEqual(200);
    for (const [x, y] of drawn) {
      expect(x).toBeGreaterThanOrEqual(0);
      expect(x).toBeLessThanOrEqual(100);
      expect(y).toBeGreaterThanOrEqual(0);
      expect(y).toBeLessThanOrEqual(50);
    }
  });

  test('leaves out missing figures, and is empty without any', () => {
    expect(sparkPath(new Float64Array([Number.NaN, Number.NaN]), 100, 50)).toBe('');
    expect(pointsOf(sparkPath(new Float64Array([0, Number.NaN, 1]), 100, 50))).toEqual([
      [0, 50],
      [100, 0],
    ]);
    expect(sparkPath(new Float64Array([3, 3, 3]), 100, 50)).toContain(' 25');
  });
});

test('the words never speak of errors, and every gap is well formed', () => {
  const all = JSON.stringify(columnsWords);
  expect(all).not.toMatch(/\b(error|invalid|fail(ed|ure)|abort)/i);
  for (const [, , how] of all.matchAll(/\{(\w+)(?::([^}]+))?\}/g)) {
    expect(how ?? '0').toMatch(/^(pressure|small|percent|[0-3]|plural [^|]+\|[^|]+)$/);
  }
});
