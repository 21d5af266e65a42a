/** The command line as a process of its own: files, exit status, both output streams. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { root } from '../../build/install.mjs';
import { makeEngine } from '../../simulator/engine.ts';
import { withFault } from '../../simulator/faults.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { run } from '../../worker/cli/run.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { TraceHeader } from '../../worker/file/csv/trace-file.ts';
import type { AnalysisJson } from '../support/command-line.ts';

interface Outcome {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

// Each process loads the whole analysis; this is slow on a busy machine.
vi.setConfig({ testTimeout: 30_000 });

let folder = '';

function analyse(
  words: readonly string[],
  more: { cwd?: string; env?: Record<string, string> } = {},
): Promise<Outcome> {
  return new Promise((resolve, reject) => {
    const child = spawn(join(root, 'node_modules/.bin/tsx'), [join(root, 'worker/cli.ts'), ...words], {
      cwd: more.cwd ?? folder,
      env: { ...process.env, ...more.env },
    });
    let out = '';
    let err = '';
    child.stdout.on('data', (data) => {
      out += String(data);
    });
    child.stderr.on('data', (data) => {
      err += String(data);
    });
    child.on('error', reject);
    child.on('close', (status) => resolve({ status, out, err }));
  });
}

/** A pulse every half second at 200 samples a second, from one second on: roughly an open hose. */
function trace(peakKpa: number) {
  const timeS = Float64Array.from({ length: 1000 }, (_, i) => i / 200);
  const pressureKpa = timeS.map((time, i) => {
    const phase = ((time - 1) % 0.5) - 0.25;
    const pulse = time < 1 || time > 4.5 ? 0 : peakKpa * (1 + (phase / 0.03) ** 2) ** -1.3;
    return pulse + Math.sin(i * 12.9898) * 0.5;
  });
  return { timeS, pressureKpa, gaps: [] };
}

const header = (more: Partial<TraceHeader>): TraceHeader => ({
  hose: 'open',
  geometry: {},
  manual: {},
  ...more,
});

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'strokebook-cli-'));
  const write = (name: string, text: string | Uint8Array) => writeFileSync(join(folder, name), text);
  write('first.csv', writeTraceCsv(trace(1200), header({ engine: 'v2', manual: { minKpa: 900 } })));
  write('c2-dry.csv', writeTraceCsv(trace(1100), header({})));
  write('dead.csv', 'time_s,pressure_kpa\n0,0\n0.01,0\n0.02,0\n');
  const spreadsheet = writeTraceCsv(trace(1150), header({})).replaceAll(',', '\t');
  write('utf16.csv', Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(spreadsheet, 'utf16le')]));
  write('codepage.csv', Buffer.from('Time [s];P [kgf/cm²]\n0;1\n0,01;2\n0,02;1\n', 'latin1'));
  write('card.json', '{"layout":"inline-2","manual":{"minKpa":1150}}');
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('JSON of several files, which are one engine test', async () => {
  const { status, out, err } = await analyse(['--json', 'first.csv', 'c2-dry.csv']);
  expect([status, err]).toEqual([0, '']);
  const analysis = JSON.parse(out) as AnalysisJson;
  expect(Object.keys(analysis)).toEqual([
    'format',
    'version',
    'readings',
    'remarks',
    'expected',
    'leaks',
    'engine',
  ]);
  expect(analysis).toMatchObject({ format: 'strokebook-analysis', version: 1 });
  expect(
    analysis.readings.map(({ file, cylinder, condition, hose }) => ({ file, cylinder, condition, hose })),
  ).toEqual([
    { file: 'first.csv', cylinder: 1, condition: 'dry', hose: 'open' },
    { file: 'c2-dry.csv', cylinder: 2, condition: 'dry', hose: 'open' },
  ]);
  expect(Object.keys(analysis.readings[0]!)).toEqual(
    'file cylinder condition hose strokes finalKpa finalPlusMinusKpa absolutePlusMinusKpa firstStrokeRatio strokesToStabilise buildUp crankingRpm zeroKpa notices'.split(
      ' ',
    ),
  );
  expect(analysis.readings[0]!.strokes).toHaveLength(7);
  expect(analysis.readings[0]!.strokes[0]).toMatchObject({
    number: 1,
    partial: false,
    peakKpa: expect.closeTo(1200, -1.5),
  });
  expect(analysis.engine).toMatchObject({
    rule: 'percent-of-highest',
    lowToHighRatio: expect.closeTo(1100 / 1200, 2),
  });
});

test('a table for people, in the unit asked for', async () => {
  const { status, out, err } = await analyse(['first.csv', 'c2-dry.csv', '--unit', 'bar']);
  expect([status, err]).toEqual([0, '']);
  expect(out).toContain('Vee engine, 2 cylinders, 4-stroke, spark. Pressures in bar.');
  expect(out).toMatch(/^ +2 +dry +open +7 /m);
  expect(out).toMatch(/^Verdict: /m);
  const lines = out.split('\n');
  expect(lines.every((line) => line === line.trimEnd())).toBe(true);
});

test('an engine card takes precedence over the headers', async () => {
  const { status, out } = await analyse(['--engine', 'card.json', 'first.csv', 'c2-dry.csv']);
  expect(status).toBe(0);
  expect(out).toContain('Inline engine, 2 cylinders');
  expect(out).toContain('under the manual’s minimum of 167 psi');
});

test('--columns says what the columns of a file without a header row are', async () => {
  const point = (reading: number, pressure: number) => ({ reading, pressure });
  const mapping = {
    format: 'strokebook-columns',
    version: 1,
    shape: { separator: ',', columns: 2 },
    time: { rateHz: 100 },
    pressures: [
      { column: 2, cylinder: 3, unit: 'psi', points: [point(0.5, 0), point(4.5, 300)], reference: 'gauge' },
    ],
  };
  const bad = { ...mapping, pressures: [{ ...mapping.pressures[0], points: [point(1, 0), point(1, 300)] }] };
  const texts: Readonly<Record<string, string>> = {
    'volts.csv': '7,0.5\n7,0.6\n7,0.5\n',
    'plain.csv': 'time_s,pressure_kpa\n0,0\n0.01,0\n',
    'three.csv': '1,2,3\n1,2,3\n',
    'm.columns.json': JSON.stringify(mapping),
    'bad.columns.json': JSON.stringify(bad),
  };
  const inMemory = (...words: string[]) => run(words, (file) => ({ text: texts[file] ?? '' }));
  const read = await inMemory('--json', '--columns', 'm.columns.json', 'volts.csv', 'plain.csv');
  expect(read.err).toBe('');
  const { readings, remarks } = JSON.parse(read.out) as AnalysisJson;
  expect(readings.map(({ cylinder }) => cylinder)).toEqual([3, 2]);
  expect(remarks.join()).toMatch(/plain\.csv: It has another shape than the files of --columns/);
  expect(remarks.join()).not.toMatch(/volts\.csv: It has/);
  expect(await inMemory('--columns', 'm.columns.json', 'three.csv')).toMatchObject({
    status: 2,
    err: 'analyse: three.csv, line 1: There is no header row such as time_s,pressure_kpa. The line: 1,2,3\n',
  });
  expect((await inMemory('--columns', 'bad.columns.json', 'volts.csv')).err).toBe(
    'analyse: bad.columns.json: Column file, pressures.0.points: Both points are at 1. Two different readings make a scale.\n',
  );
  expect((await inMemory('--help')).out).toContain('--columns FILE');
});

test('files in the encodings of spreadsheets and old loggers', async () => {
  const { status, out } = await analyse(['--json', 'utf16.csv', 'codepage.csv']);
  expect(status).toBe(0);
  expect((JSON.parse(out) as AnalysisJson).readings[0]?.strokes).toHaveLength(7);
});

test('a trace without strokes is no failure, and a path is relative to the caller’s folder', async () => {
  const { status, out, err } = await analyse(['--json', 'dead.csv'], {
    cwd: root,
    env: { INIT_CWD: folder },
  });
  expect([status, err]).toEqual([0, '']);
  const analysis = JSON.parse(out) as AnalysisJson;
  expect(analysis.readings[0]).toMatchObject({ strokes: [], finalKpa: null });
  expect(analysis.engine.verdict).toBe('cannot-tell');
});

describe('a cylinder measured again', () => {
  const file = (peakKpa: number, more: Partial<TraceHeader>) =>
    writeTraceCsv(trace(peakKpa), header({ cylinder: 1, condition: 'dry', ...more }));
  const again = async (first: Partial<TraceHeader>, second: Partial<TraceHeader>) => {
    const texts: Record<string, string> = {
      'first.csv': file(600, first),
      'second.csv': file(1200, second),
      'other.csv': file(1180, { cylinder: 2, recorded: '2026-05-03T08:00:00Z' }),
    };
    const { out } = await run(['--json', ...Object.keys(texts)], (name) => ({ text: texts[name]! }));
    return JSON.parse(out) as AnalysisJson;
  };

  test('counts by its last file, with a remark', async () => {
    const { readings, engine, remarks } = await again({}, {});
    expect(readings).toHaveLength(3);
    expect(engine.lowToHighRatio).toBeGreaterThan(0.9);
    expect(remarks).toEqual([expect.stringMatching(/^first\.csv: cylinder 1 dry was measured again/)]);
  });

  test('counts by the newest where every file has a time', async () => {
    const { engine, remarks } = await again(
      { recorded: '2026-05-03T09:00:00Z' },
      { recorded: '2026-05-03T08:30:00Z' },
    );
    expect(engine.lowToHighRatio).toBeLessThan(0.6);
    expect(remarks).toEqual([expect.stringMatching(/^second\.csv: /)]);
  });
});

describe('an engine card with plugs and the day', () => {
  const engine = withFault(makeEngine({ layout: presetLayout('inline', 4) }), 'worn-rings', [3], 0.5);
  const texts: Record<string, string> = Object.fromEntries(
    [1, 2, 3, 4].map((cylinder) => [
      `c${cylinder}-dry.csv`,
      writeTraceCsv(simulateTrace({ engine, cylinder }).trace, header({ hose: 'check-valve', cylinder })),
    ]),
  );
  const withCard = async (card: unknown) => {
    const all: Record<string, string> = { ...texts, 'card.json': JSON.stringify(card) };
    const { out } = await run(['--json', '--engine', 'card.json', ...Object.keys(texts)], (name) => ({
      text: all[name]!,
    }));
    return (JSON.parse(out) as AnalysisJson).engine;
  };
  const rings = ({ suspects }: AnalysisJson['engine']) =>
    suspects.find(({ cause, cylinders }) => cause === 'ring-wear' && cylinders.join() === '3');

  test('weighs the plug for or against a suspect, as the app does', async () => {
    const [silent, oily, normal] = await Promise.all([
      withCard({}),
      withCard({ plugs: [{ cylinder: 3, signs: ['oily'] }] }),
      withCard({ plugs: [{ cylinder: 3, signs: ['normal'] }] }),
    ]);
    const oil = /The plug of cylinder 3 was oily/;
    expect(rings(silent)!.evidence.join()).not.toMatch(oil);
    expect(rings(oily)!.evidence.join()).toMatch(oil);
    expect(rings(normal)!.against.join()).toMatch(/The plug of cylinder 3 looked normal/);
    expect(Number(rings(normal)!.confidence)).toBeLessThan(Number(rings(oily)!.confidence));
  });

  test('corrects for the barometer of the card', async () => {
    const engine = await withCard({ manual: { minKpa: 1300 }, conditions: { ambientKpa: 80 } });
    expect(engine.reasons.join()).toMatch(/At sea level it would read \d+ kPa and pass/);
    expect((await withCard({ manual: { minKpa: 1300 } })).reasons.join()).not.toContain('sea level');
  });
});

describe('impossible input', () => {
  const remarksOf = async (files: Readonly<Record<string, string>>, card: unknown = {}) => {
    const all: Record<string, string> = { ...files, 'card.json': JSON.stringify(card) };
    const words = ['--json', '--engine', 'card.json', ...Object.keys(files)];
    const { status, out, err } = await run(words, (name) => ({ text: all[name]! }));
    expect([status, err]).toEqual([0, '']);
    return JSON.parse(out) as AnalysisJson;
  };
  const file = (peakKpa: number, more: Partial<TraceHeader>) => writeTraceCsv(trace(peakKpa), header(more));

  test('a diesel with oil is reported, and no verdict is based on it', async () => {
    const dry = { 'c1-dry.csv': file(2500, {}), 'c2-dry.csv': file(1500, {}) };
    const wet = { ...dry, 'c2-wet.csv': file(2400, {}) };
    const [without, oiled] = await Promise.all([
      remarksOf(dry, { fuel: 'diesel' }),
      remarksOf(wet, { fuel: 'diesel' }),
    ]);
    expect(oiled.remarks).toEqual([expect.stringMatching(/^c2-wet\.csv: .*oil in a diesel can lock it/)]);
    expect(oiled.readings).toHaveLength(3);
    expect(oiled.engine).toEqual(without.engine);
  });

  test('a manual minimum above its maximum is reported and ignored', async () => {
    const manual = { minKpa: 1300, maxKpa: 900 };
    const { remarks, engine } = await remarksOf({ 'c1.csv': file(1200, { manual }) });
    expect(remarks).toEqual([expect.stringContaining('1300 kPa, is above its maximum, 900 kPa')]);
    expect(engine.reasons.join()).not.toMatch(/the manual’s (minimum|[0-9])/);
  });

  test('an impossible pressure is reported', async () => {
    const { remarks } = await remarksOf({ 'c1.csv': file(8300, {}), 'c2.csv': file(1200, {}) });
    expect(remarks).toEqual([
      expect.stringMatching(/^c1\.csv: cylinder 1 dry reads 8\d\d\d kPa, .*check the file's unit/),
    ]);
  });

  test('a wet reading without a dry one gives no verdict', async () => {
    const { engine } = await remarksOf({ 'c1-dry.csv': file(1200, {}), 'c2-wet.csv': file(1100, {}) });
    expect(engine.verdict).toBe('cannot-tell');
    expect(engine.reasons).toContain('Cylinder 2 is not measured yet.');
  });
});

test('an unreadable one: status 2, one line on standard error, nothing on standard output', async () => {
  const line = 'analyse: gone.csv: there is no such file\n';
  expect(await analyse(['first.csv', 'gone.csv'])).toEqual({ status: 2, out: '', err: line });
});

describe('status 2 and one line', () => {
  const texts: Record<string, string> = {
    'good.csv': writeTraceCsv(trace(1000), header({})),
    'words.csv': 'time_s,pressure_kpa\n0,high\n',
    'card.json': '{}',
    'bad-card.json': '{"manual":{"minKpa":2,"maxKpa":1}}',
    'flat-2.json': '{"layout":"flat-2"}',
    'plugs.json': '{"layout":"flat-2","plugs":[{"cylinder":3,"signs":["oily"]}]}',
    'c3.csv': writeTraceCsv(trace(1000), header({})),
    'kept.strokebook.json': '{ "format": "strokebook-session", "version": 99 }',
  };
  const readFile = (file: string) => {
    const text = texts[file];
    return text === undefined ? { reason: 'there is no such file' } : { text };
  };

  test.each([
    [
      ['good.csv', 'words.csv'],
      'analyse: words.csv, line 2: The pressure "high" is not a number. The line: 0,high',
    ],
    [['card.json'], 'analyse: card.json: There is no header row such as time_s,pressure_kpa.'],
    [
      ['--engine', 'bad-card.json', 'good.csv'],
      'analyse: bad-card.json: manual.minKpa: must not be above maxKpa.',
    ],
    [
      ['--engine', 'flat-2.json', 'c3.csv'],
      'analyse: flat-2.json: layout: has no cylinder 3, which c3.csv is of.',
    ],
    [['--engine', 'plugs.json', 'good.csv'], 'analyse: plugs.json: plugs: the layout has no cylinder 3.'],
    [
      ['kept.strokebook.json'],
      'analyse: kept.strokebook.json: this is a session file. Open it in the app, which writes a CSV of each take.',
    ],
    [
      ['--rule', 'strict', 'good.csv'],
      'analyse: --rule strict is not known; choose percent-of-highest, below-mean, max-spread, diesel-spread or manual',
    ],
    [['bad\u001b[2Jname\n.csv'], 'analyse: bad?[2Jname?.csv: there is no such file'],
  ])('%j', async (words, line) => {
    expect(await run(words, readFile)).toEqual({ status: 2, out: '', err: `${line}\n` });
  });

  test('internal errors too: never a stack trace', async () => {
    const answer = await run(['good.csv'], () => {
      throw new TypeError('oh\n    at somewhere');
    });
    expect(answer).toEqual({
      status: 2,
      out: '',
      err: 'analyse: the analysis stopped unexpectedly: oh?    at somewhere\n',
    });
  });
});

test('60 files of 1200 samples take less than 4 s of one processor', async () => {
  const { timeS, pressureKpa } = trace(1000);
  const longer = {
    timeS: Float64Array.from({ length: 1200 }, (_, i) => i / 200),
    pressureKpa: Float64Array.from({ length: 1200 }, (_, i) => pressureKpa[i % timeS.length]!),
    gaps: [],
  };
  const text = writeTraceCsv(longer, header({}));
  const names = Array.from({ length: 60 }, (_, i) => `c${i + 1}.csv`);
  const before = process.cpuUsage();
  const answer = await run(['--json', ...names], () => ({ text }));
  const { user, system } = process.cpuUsage(before);
  expect(answer.status).toBe(0);
  expect((user + system) / 1e6).toBeLessThan(4);
});
