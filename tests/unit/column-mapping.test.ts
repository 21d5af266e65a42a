import { describe, expect, test } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { rigFor } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { toKpa } from '../../worker/core/units.ts';
import type { ColumnMapping, FileShape, MappedPressure } from '../../worker/file/columns/column-mapping.ts';
import { findLayout } from '../../worker/file/columns/file-layout.ts';
import { readTraceFile } from '../../worker/file/columns/mapped-csv.ts';
import { parseMapping, writeMapping } from '../../worker/file/columns/mapping-file.ts';
import { guessMeanings, guessSignal, guessTimeUnit, previewFile } from '../../worker/file/columns/preview.ts';

const pressure = (column: number, cylinder: number, more: Partial<MappedPressure> = {}): MappedPressure => ({
  column,
  cylinder,
  unit: 'psi',
  reference: 'gauge',
  ...more,
});

const mapping = (
  shape: FileShape,
  pressures: readonly MappedPressure[],
  time: ColumnMapping['time'] = { column: 1, unit: 's' },
): ColumnMapping => ({ format: 'strokebook-columns', version: 1, shape, time, pressures });

const shapeOf = (text: string): FileShape => {
  const layout = findLayout(text);
  if (!layout) throw new Error('no table');
  return layout.shape;
};

const VOLTS = [
  { reading: 0.5, pressure: 0 },
  { reading: 4.5, pressure: 300 },
] as const;

describe('the shape of a file', () => {
  test.each<[string, string, FileShape, number]>([
    ['numbers only', '0,0.5\n0.01,0.6\n', { separator: ',', columns: 2 }, 1],
    ['decimal comma', '0;0,5;1,5\n0,01;0,6;1,5\n', { separator: ';', columns: 3 }, 1],
    ['tabs', '0\t0,5\n1\t0,6\n', { separator: '\t', columns: 2 }, 1],
    ['spaces', '  0.0   0.5\n  0.1   0.6\n', { separator: ' ', columns: 2 }, 1],
    ['decimal commas between spaces', '0,0 0,5\n0,1 0,6\n', { separator: ' ', columns: 2 }, 1],
    ['one column', '512\n513\n600\n', { separator: '\t', columns: 1 }, 1],
    [
      'names',
      'Time,AI 0 (V),AI 1 (V)\n0,0.5,0.5\n0.01,0.6,0.5\n',
      { separator: ',', columns: 3, names: ['Time', 'AI 0 (V)', 'AI 1 (V)'] },
      2,
    ],
    [
      'names with a row of units',
      'Time;A;B\ns;V;V\n0;0,5;0,5\n1;0,6;0,5\n',
      { separator: ';', columns: 3, names: ['Time s', 'A V', 'B V'] },
      3,
    ],
    [
      'text first',
      'Logger 7\nSerial,123\nChannels,2\n\nt,x\n0,0.5\n1,0.6\n',
      { separator: ',', columns: 2, names: ['t', 'x'] },
      6,
    ],
    ['quoted fields', '"0,00";"0,5"\n"0,01";"0,6"\n', { separator: ';', columns: 2 }, 1],
    [
      'clock times',
      '2026-05-02 10:00:00.000,0.5\n2026-05-02 10:00:00.010,0.6\n',
      { separator: ',', columns: 2 },
      1,
    ],
    [
      'a separator at the end of rows',
      'a;b\n0;1;\n1;2;\n',
      { separator: ';', columns: 3, names: ['a', 'b', ''] },
      2,
    ],
    ['a line of text before', 'made by somebody\n0;1\n1;2\n', { separator: ';', columns: 2 }, 2],
    ['a column of words', '0,0.5,OK\n1,0.6,OK\n2,0.7,\n', { separator: ',', columns: 3 }, 1],
  ])('%s', (_, text, shape, bodyLine) => {
    expect(findLayout(text)).toMatchObject({ shape, bodyLine });
    expect(findLayout(text)?.shape).toEqual(shape);
  });

  test.each(['', 'no figures here\n', 'a,b\nc,d\n'])('of %j: none', (text) => {
    expect(findLayout(text)).toBeUndefined();
  });
});

describe('a file read with a mapping', () => {
  const read = (text: string, used: ColumnMapping, name = 'x.csv') => {
    const outcome = readTraceFile(text, name, [used]);
    if (!outcome.ok) throw new Error(`${outcome.problem.code}: ${outcome.problem.detail}`);
    return outcome;
  };

  test('volts of two channels', () => {
    const text = '0,0.5,2.5\n0.01,4.5,0.5\n0.02,2.5,0.5\n';
    const used = mapping(shapeOf(text), [
      pressure(2, 3, { points: VOLTS }),
      pressure(3, 1, { points: VOLTS, condition: 'wet' }),
    ]);
    const { traces, isMapped } = read(text, used);
    expect(isMapped).toBe(true);
    expect(traces.map(({ header }) => [header.cylinder, header.condition])).toEqual([
      [3, undefined],
      [1, 'wet'],
    ]);
    expect([...traces[0]!.trace.timeS]).toEqual([0, 0.01, 0.02]);
    expect([...traces[0]!.trace.pressureKpa]).toEqual([0, 300, 150].map((psi) => toKpa(psi, 'psi')));
    expect([...traces[1]!.trace.pressureKpa]).toEqual([150, 0, 0].map((psi) => toKpa(psi, 'psi')));
  });

  test.each<[string, string, ColumnMapping['time']]>([
    ['milliseconds', '0;1\n5;2\n10;3\n', { column: 1, unit: 'ms' }],
    ['microseconds', '0;1\n5000;2\n10000;3\n', { column: 1, unit: 'us' }],
    ['clock', '23:59:59,995;1\n00:00:00,000;2\n00:00:00,005;3\n', { column: 1, unit: 'date-time' }],
    ['a rate', '7;1\n7;2\n7;3\n', { rateHz: 200 }],
  ])('times in %s', (_, text, time) => {
    const { traces } = read(text, mapping(shapeOf(text), [pressure(2, 1, { unit: 'kPa' })], time));
    expect([...traces[0]!.trace.timeS]).toEqual([0, 0.005, 0.01]);
    expect([...traces[0]!.trace.pressureKpa]).toEqual([1, 2, 3]);
  });

  test('keeps what the comment lines state', () => {
    const text = '# hose: open\n# engine: Old four\n0,1\n0.01,2\n';
    const { traces } = read(text, mapping(shapeOf(text), [pressure(2, 2)]), 'wet.csv');
    expect(traces[0]!.header).toMatchObject({ hose: 'open', engine: 'Old four', condition: 'wet' });
  });

  test('the only pressure without a cylinder gets it from the file', () => {
    const text = '0,1\n0.01,2\n';
    const used = mapping(shapeOf(text), [pressure(2, 1, { cylinder: undefined })]);
    expect(read(text, used, 'c4-wet.csv').traces[0]!.header).toMatchObject({ cylinder: 4, condition: 'wet' });
    expect(read(`# cylinder: 2\n${text}`, used).traces[0]!.header.cylinder).toBe(2);
    expect(read(text, used).traces[0]!.header.cylinder).toBeUndefined();
  });

  test('a file of another shape is read by its own header row', () => {
    const used = mapping({ separator: ',', columns: 3 }, [pressure(2, 1)]);
    const outcome = readTraceFile('time_s,pressure_kpa\n0,1\n0.1,2\n', 'x.csv', [used]);
    expect(outcome).toMatchObject({ ok: true });
    expect(outcome.ok && outcome.isMapped).toBeFalsy();
    expect(readTraceFile('0,1\n0.1,2\n', 'x.csv', [used])).toMatchObject({
      ok: false,
      problem: { code: 'no-columns', line: 1, excerpt: '0,1' },
    });
  });

  test.each<[string, string, ColumnMapping['time'], object]>([
    [
      'words among the figures',
      '0,1\n1,2\n2,x\n3,y\n4,z\n5,q\n6,1\n7,1\n',
      { rateHz: 100 },
      { code: 'bad-number', line: 3, excerpt: '2,x' },
    ],
    [
      'a time that falls',
      '0,1\n1,2\n9,3\n0,4\n1,5\n2,5\n',
      { column: 1, unit: 's' },
      { code: 'time-not-ascending', line: 4, excerpt: '0,4' },
    ],
    ['no clock times', '0,1\n1,2\n', { column: 1, unit: 'date-time' }, { code: 'bad-number', line: 1 }],
    [
      'pressures beyond any sensor',
      '0,1\n1,9e9\n',
      { column: 1, unit: 's' },
      { code: 'bad-number', line: 2 },
    ],
  ])('names the first bad line: %s', (_, text, time, problem) => {
    const used = mapping({ separator: ',', columns: 2 }, [pressure(2, 1)], time);
    expect(readTraceFile(text, 'x.csv', [used])).toMatchObject({ ok: false, problem });
  });
});

describe('a mapping file', () => {
  const good = mapping({ separator: ',', columns: 3, names: ['t', 'a', 'b'] }, [
    pressure(2, 1, { points: VOLTS }),
    pressure(3, 2, { unit: 'bar', reference: 'absolute', condition: 'wet' }),
  ]);

  test('reads back as it was written', () => {
    expect(parseMapping(writeMapping(good))).toEqual({ ok: true, mapping: good });
  });

  test.each<[string, unknown, RegExp]>([
    ['two equal points', withPoints(1, 0, 1, 300), /pressures\.0\.points: Both points are at 1/],
    ['two equal pressures', withPoints(0.5, 300, 4.5, 300), /points: Both points are 300 psi/],
    ['a point beyond any sensor', withPoints(0.5, 0, 4.5, 3e7), /points: .*Check its unit/],
    ['a rate of zero', { ...good, time: { rateHz: 0 } }, /time\.rateHz: 0 samples a second.*Write a figure/],
    ['a column twice', { ...good, pressures: [pressure(2, 1), pressure(2, 2)] }, /1\.column: .*used twice/],
    ['the time as pressure', { ...good, pressures: [pressure(1, 1)] }, /0\.column: .*used twice/],
    ['a cylinder twice', { ...good, pressures: [pressure(2, 1), pressure(3, 1)] }, /cylinder: .*two columns/],
    [
      'several pressures, one without a cylinder',
      { ...good, pressures: [pressure(2, 1), { ...pressure(3, 1), cylinder: undefined }] },
      /1\.cylinder: Column 3 has no cylinder/,
    ],
    ['a column that is not there', { ...good, pressures: [pressure(4, 1)] }, /0\.column: .*file has 3/],
    ['no pressure', { ...good, pressures: [] }, /pressures: No column is a pressure/],
    ['no unit', { ...good, pressures: [{ ...pressure(2, 1), unit: undefined }] }, /0\.unit: must be psi/],
    ['an unknown unit', { ...good, pressures: [{ ...pressure(2, 1), unit: 'V' }] }, /0\.unit: must be psi/],
    ['a field too many', { ...good, colour: 'red' }, /colour: is no field/],
    ['too few names', { ...good, shape: { separator: ',', columns: 3, names: ['t'] } }, /must hold 3 names/],
    ['another format', { format: 'strokebook-layout', version: 1 }, /format: must be strokebook-columns/],
    ['a newer version', { ...good, version: 2 }, /newer version/],
    ['no object', 7, /as a whole/],
  ])('with %s is refused', (_, value, detail) => {
    const outcome = parseMapping(JSON.stringify(value));
    expect(outcome.ok).toBe(false);
    expect(!outcome.ok && outcome.detail).toMatch(detail);
    expect(!outcome.ok && outcome.detail).toMatch(/^[A-Z].*\.$/);
  });

  test.each(['', 'x', '['])('%j is not one', (text) => {
    expect(parseMapping(text).ok).toBe(false);
  });

  function withPoints(a: number, p: number, b: number, q: number) {
    const points = [
      { reading: a, pressure: p },
      { reading: b, pressure: q },
    ] as const;
    return { ...good, pressures: [pressure(2, 1, { points })] };
  }
});

describe('guesses', () => {
  const engine = makeEngine({ layout: presetLayout('inline', 2) });
  // One on an open hose, one held by a check valve.
  const traces = (['open', 'check-valve'] as const).map(
    (hose, i) => simulateTrace({ engine, cylinder: i + 1, rig: rigFor(hose) }).trace,
  );
  const volts = (kpa: number) => (0.5 + kpa / 500).toFixed(3);
  const rows = (cells: (i: number) => readonly (string | number)[]): string =>
    `${Array.from({ length: Math.min(...traces.map(({ timeS }) => timeS.length)) }, (_, i) => cells(i).join(',')).join('\n')}\n`;
  const kpa = (channel: number, i: number) => traces[channel]!.pressureKpa[i]!;
  const preview = (text: string) => {
    const found = previewFile(text);
    if ('problem' in found) throw new Error(found.problem.detail);
    return found;
  };

  test('the rising column is the time, those with humps are pressures', () => {
    const text = rows((i) => [
      volts(kpa(0, i)),
      (12 + ((i * 7919) % 101) / 1000).toFixed(3),
      i * 5,
      volts(kpa(1, i)),
      'OK',
    ]);
    const { columns } = preview(text);
    expect(guessMeanings(columns)).toEqual(['pressure', 'other', 'time', 'pressure', 'other']);
    expect(guessTimeUnit(columns[2]!)).toBe('ms');
    expect(guessSignal(columns[0]!)).toBe('volts');
  });

  test('a row number is no time', () => {
    const { columns } = preview(rows((i) => [i + 1, Math.round(512 + kpa(0, i))]));
    expect(guessMeanings(columns)).toEqual(['other', 'pressure']);
    expect(guessSignal(columns[1]!)).toBe('counts');
  });

  test('milliamps, and clock times', () => {
    const clock = (i: number) => new Date(i * 5).toISOString().slice(11, 23);
    const { columns } = preview(rows((i) => [clock(i), (4 + kpa(0, i) / 100).toFixed(3)]));
    expect(guessMeanings(columns)).toEqual(['time', 'pressure']);
    expect(guessTimeUnit(columns[0]!)).toBe('date-time');
    expect(guessSignal(columns[1]!)).toBe('milliamps');
  });

  test('names count more than figures', () => {
    const text = `t [ms],oil temp,Cylinder 1,count\n${rows((i) => [i, volts(kpa(0, i)), volts(kpa(1, i)), i])}`;
    const { columns } = preview(text);
    expect(guessMeanings(columns)).toEqual(['time', 'other', 'pressure', 'other']);
  });

  test('no figures at all', () => {
    expect(previewFile('only words\n')).toMatchObject({ problem: { code: 'no-rows' } });
    expect(previewFile('')).toMatchObject({ problem: { code: 'empty' } });
  });
});
