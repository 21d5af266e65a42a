import { describe, expect, test } from 'vitest';
import { parseTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { RecordedTrace, TraceFileOutcome } from '../../worker/file/csv/trace-file.ts';

const PSI = 6.894757293168361;

function read(text: string, fileName = 'trace.csv'): readonly RecordedTrace[] {
  const outcome = parseTraceCsv(text, fileName);
  if (!outcome.ok) throw new Error(`${outcome.problem.code}: ${outcome.problem.detail}`);
  return outcome.traces;
}

const one = (text: string, fileName?: string): RecordedTrace => {
  const traces = read(text, fileName);
  expect(traces).toHaveLength(1);
  return traces[0]!;
};

function expectSamples(text: string, timeS: number[], pressureKpa: number[]): void {
  const { trace } = one(text);
  expect(trace.timeS.length).toBe(timeS.length);
  timeS.forEach((time, i) => {
    expect(trace.timeS[i]).toBeCloseTo(time, 9);
  });
  pressureKpa.forEach((kpa, i) => {
    expect(trace.pressureKpa[i]).toBeCloseTo(kpa, 9);
  });
}

describe('one pressure column', () => {
  const times = [0, 0.005, 0.01];
  test.each<[string, string, number[]]>([
    ['plain', 'time_s,pressure_kpa\n0,1\n0.005,2.5\n0.01,-3\n', [1, 2.5, -3]],
    ['no newline at the end', 'time_s,pressure_kpa\n0,1\n0.005,2.5\n0.01,-3', [1, 2.5, -3]],
    ['CRLF', 'time_s,pressure_kpa\r\n0,1\r\n0.005,2.5\r\n0.01,-3\r\n', [1, 2.5, -3]],
    ['CR alone', 'time_s,pressure_kpa\r0,1\r0.005,2.5\r0.01,-3\r', [1, 2.5, -3]],
    ['byte order mark', '\ufefftime_s,pressure_kpa\n0,1\n0.005,2.5\n0.01,-3\n', [1, 2.5, -3]],
    ['milliseconds and psi', 'time_ms,pressure_psi\n0,1\n5,2.5\n10,-3\n', [PSI, 2.5 * PSI, -3 * PSI]],
    ['bar', 'time_s,pressure_bar\n0,1\n0.005,2.5\n0.01,-3\n', [100, 250, -300]],
    ['MPa', 'time_s,pressure_mpa\n0,0.1\n0.005,1.2\n0.01,0\n', [100, 1200, 0]],
    ['Pa', 'time_s,pressure_pa\n0,1000\n0.005,2500\n0.01,-3000\n', [1, 2.5, -3]],
    ['kgf/cm2', 'time_s,pressure_kgfcm2\n0,1\n0.005,2\n0.01,0\n', [98.0665, 196.133, 0]],
    ['kgf/cm² in brackets', 'Time [s],P [kgf/cm²]\n0,1\n0.005,2\n0.01,0\n', [98.0665, 196.133, 0]],
    ['brackets', 'Time [s],Pressure (psi)\n0,1\n0.005,2.5\n0.01,-3\n', [PSI, 2.5 * PSI, -3 * PSI]],
    ['units after a slash', 'Time / ms;Pressure / bar\n0;1\n5;2,5\n10;-3\n', [100, 250, -300]],
    ['quoted header', '"Time (s)","Pressure (kPa)"\n"0","1"\n"0.005","2.5"\n"0.01","-3"\n', [1, 2.5, -3]],
    [
      'semicolon, decimal comma',
      'Zeit [s];Druck [bar]\n0,000;1,0\n0,005;2,5\n0,010;-3,0\n',
      [100, 250, -300],
    ],
    ['tab, decimal comma', 'time_s\tpressure_kpa\n0,000\t1,0\n0,005\t2,5\n0,010\t-3\n', [1, 2.5, -3]],
    [
      'comma, quoted decimal comma',
      'time_s,pressure_kpa\n"0,0","1,0"\n"0,005","2,5"\n"0,01","-3"\n',
      [1, 2.5, -3],
    ],
    ['spaces after commas', 'time_s, pressure_kpa\n0, 1\n0.005, 2.5\n0.01, -3\n', [1, 2.5, -3]],
    [
      'columns of spaces',
      '  time_s   pressure_kpa\n   0.000    1.0\n   0.005    2.5\n   0.010   -3.0\n',
      [1, 2.5, -3],
    ],
    ['units on a line of their own', 'Time;Pressure\ns;bar\n0;1\n0,005;2,5\n0,01;-3\n', [100, 250, -300]],
    [
      'units in brackets on a line of their own',
      'Time,Pressure\n[ms],[kPa]\n0,1\n5,2.5\n10,-3\n',
      [1, 2.5, -3],
    ],
    ['unit in a comment', '# unit: bar\ntime_s,pressure\n0,1\n0.005,2.5\n0.01,-3\n', [100, 250, -300]],
    ['columns the other way round', 'pressure_kpa,time_s\n1,0\n2.5,0.005\n-3,0.01\n', [1, 2.5, -3]],
    [
      'further columns',
      'n,time_s,battery_v,pressure_kpa,note\n1,0,12.4,1,\n2,0.005,11.9,2.5,a\n3,0.01,11.8,-3,\n',
      [1, 2.5, -3],
    ],
    ['ambient column', 'time_s,ambient_kpa,pressure_kpa\n0,99,1\n0.005,99,2.5\n0.01,99,-3\n', [1, 2.5, -3]],
    [
      'one channel in two units',
      'time_s,pressure_kpa,pressure_psi\n0,1,0.1\n0.005,2.5,0.3\n0.01,-3,-0.4\n',
      [1, 2.5, -3],
    ],
    [
      'lines of the logger first',
      'Logger 7\nSerial: 123\n\nChannels,2\ntime_s,pressure_kpa\n0,1\n0.005,2.5\n0.01,-3\n',
      [1, 2.5, -3],
    ],
    ['header in a comment', '# time_s,pressure_kpa\n0,1\n0.005,2.5\n0.01,-3\n', [1, 2.5, -3]],
    [
      'comments between rows',
      'time_s,pressure_kpa\n0,1\n# paused\n0.005,2.5\n0.01,-3\n# end\n',
      [1, 2.5, -3],
    ],
    ['missing cells', 'time_s,pressure_kpa\n0,1\n0.002,\n0.003,NaN\n,7\n0.005,2.5\n0.01,-3\n', [1, 2.5, -3]],
    ['unit-less stamps in milliseconds', 'timestamp,pressure_kpa\n0,1\n5,2.5\n10,-3\n', [1, 2.5, -3]],
    ['clock', 'time,pressure_kpa\n23:59:59.995,1\n00:00:00.000,2.5\n00:00:00.005,-3\n', [1, 2.5, -3]],
    [
      'date and time',
      'timestamp;pressure_bar\n2026-05-02T10:00:00.100Z;1\n2026-05-02T10:00:00.105Z;2,5\n2026-05-02T10:00:00.110Z;-3\n',
      [100, 250, -300],
    ],
    ['no time column but a rate', '# sample_rate_hz: 200\npressure_kpa\n1\n2.5\n-3\n', [1, 2.5, -3]],
    [
      'day and month before the year, clock of twelve hours',
      'time,pressure_kpa\n05/02/2026 11:59:59.995 AM,1\n05/02/2026 12:00:00.000 PM,2.5\n05/02/2026 12:00:00.005 PM,-3\n',
      [1, 2.5, -3],
    ],
    [
      'seconds since 1970',
      'time_s,pressure_kpa\n1777716000.000,1\n1777716000.005,2.5\n1777716000.010,-3\n',
      [1, 2.5, -3],
    ],
    ['written backwards', 'time_s,pressure_kpa\n0.01,-3\n0.005,2.5\n0,1\n', [1, 2.5, -3]],
    ['thousands', 'time_s;pressure_kpa\n0;1.0\n0.005;1,250.5\n0.01;2,000.0\n', [1, 1250.5, 2000]],
  ])('%s', (name, text, pressures) => {
    const digits = name === 'seconds since 1970' ? 6 : 9;
    const { trace } = one(text);
    expect(trace.timeS.length).toBe(times.length);
    times.forEach((time, i) => {
      expect(trace.timeS[i]).toBeCloseTo(time, digits);
    });
    pressures.forEach((kpa, i) => {
      expect(trace.pressureKpa[i]).toBeCloseTo(kpa, 9);
    });
  });
});

describe('several pressure columns', () => {
  test('one for each cylinder', () => {
    const traces = read('Time [ms];cyl1_psi;Cylinder 2 [bar];cyl4 wet [kPa]\n0;1;2;3\n5;1,5;2,5;3,5\n');
    expect(traces.map(({ header }) => [header.cylinder, header.condition])).toEqual([
      [1, undefined],
      [2, undefined],
      [4, 'wet'],
    ]);
    expect(traces.map(({ trace }) => trace.pressureKpa[1])).toEqual([1.5 * PSI, 250, 3.5]);
  });

  test('cylinders cranked one after another leave the other cells empty', () => {
    const traces = read('time_s,cyl1_kpa,cyl2_kpa\n0,1,\n0.01,2,\n10,,3\n10.01,,4\n');
    expect(traces.map(({ trace }) => [...trace.timeS])).toEqual([
      [0, 0.01],
      [10, 10.01],
    ]);
  });

  test('a time column for each channel', () => {
    const traces = read(
      `${'time1_s,x\n'.slice(0, 0)}Time [s],cyl1 [kPa],Time [s],cyl2 [kPa]\n0,1,5,3\n0.01,2,5.01,4\n`,
    );
    expect(traces.map(({ trace }) => [...trace.timeS])).toEqual([
      [0, 0.01],
      [5, 5.01],
    ]);
  });

  test('columns without a number are numbered in order', () => {
    const traces = read('# cylinder: 3\ntime_s,pressure a [kPa],pressure b [kPa]\n0,1,2\n0.01,1,2\n');
    expect(traces.map(({ header }) => header.cylinder)).toEqual([1, 2]);
  });
});

describe('the header', () => {
  const body = 'time_s,pressure_kpa\n0,1\n0.01,2\n';

  test('every key', () => {
    const { header, trace } = one(
      '# engine: V6, tired\n# cylinder: 3\n# Condition: WET\n# hose: check valve\n# cycle: 2\n# fuel: diesel\n' +
        '# recorded: 2026-05-02T10:00:00Z\n# zero: -1.5\n# ambient_kpa: 93,38\n# sensor_max_kpa: 2500\n' +
        '# bore_mm: 84.1 mm\n# stroke_mm: 85\n# rod_mm: 140\n# compression_ratio: 9.8:1\n# ivc_deg_abdc: 55\n' +
        `# manual_min_kpa: 900\n# manual_max_kpa: 1300\n# manual_spread_kpa: 100\n# gap: 0.2 0.4 link-lost\n${body}`,
    );
    expect(header).toEqual({
      engine: 'V6, tired',
      cylinder: 3,
      condition: 'wet',
      hose: 'check-valve',
      cycle: 2,
      fuel: 'diesel',
      recorded: '2026-05-02T10:00:00Z',
      zeroKpa: -1.5,
      ambientKpa: 93.38,
      sensorMaxKpa: 2500,
      geometry: { boreMm: 84.1, strokeMm: 85, rodMm: 140, compressionRatio: 9.8, intakeClosesDegAbdc: 55 },
      manual: { minKpa: 900, maxKpa: 1300, spreadKpa: 100 },
    });
    expect(trace.gaps).toEqual([{ startS: 0.2, endS: 0.4, reason: 'link-lost' }]);
  });

  test('the zero does not change samples', () => {
    expect([...one(`# zero: 5\n${body}`).trace.pressureKpa]).toEqual([1, 2]);
  });

  test('keys without a hash, quoted or padded with empty cells', () => {
    expect(one(`Cylinder;4\n"# engine: V6, old"\n# condition: wet;;;\n${body}`).header).toMatchObject({
      cylinder: 4,
      engine: 'V6, old',
      condition: 'wet',
    });
  });

  test('an invalid value is left out with a remark', () => {
    const outcome = parseTraceCsv(`# cylinder: first\n# bore_mm: -3\n# hose: garden\n${body}`, 'x.csv');
    expect(outcome).toMatchObject({ ok: true, traces: [{ header: { geometry: {}, manual: {} } }] });
    expect(outcome.ok && outcome.remarks).toHaveLength(3);
  });

  test.each([
    ['c3-wet.csv', 3, 'wet'],
    ['cyl4.csv', 4, undefined],
    ['/garage/may/Cylinder 2 dry.CSV', 2, 'dry'],
    ['e000-c12_dry.csv', 12, 'dry'],
    ['trace-003.csv', undefined, undefined],
    ['abc3.csv', undefined, undefined],
    ['c0.csv', undefined, undefined],
  ])('missing keys come from the file name %s', (name, cylinder, condition) => {
    expect(one(body, name).header).toMatchObject({ cylinder, condition });
  });

  test('the header takes precedence over the file name', () => {
    expect(one(`# cylinder: 1\n# condition: dry\n${body}`, 'c2-wet.csv').header).toMatchObject({
      cylinder: 1,
      condition: 'dry',
    });
  });
});

describe('times', () => {
  test('jitter that swaps neighbours is sorted', () => {
    expectSamples(
      'time_s,pressure_kpa\n-0.0002,0\n0.0005,1\n0.0012,3\n0.0011,2\n0.0015,4\n',
      [-0.0002, 0.0005, 0.0011, 0.0012, 0.0015],
      [0, 1, 2, 3, 4],
    );
  });

  test('stamps coarser than the sampling are spread', () => {
    expectSamples(
      'time_s,pressure_kpa\n0,0\n0,1\n0.01,2\n0.01,3\n0.02,4\n0.02,5\n',
      [0, 0.005, 0.01, 0.015, 0.02, 0.025],
      [0, 1, 2, 3, 4, 5],
    );
  });

  test('equal stamps are not spread over a gap', () => {
    expectSamples(
      'time_s,pressure_kpa\n0,0\n0.01,1\n0.01,2\n2,3\n2.01,4\n',
      [0, 0.01, 0.015, 2, 2.01],
      [0, 1, 2, 3, 4],
    );
  });
});

describe('refused', () => {
  test.each<[string, string, string, number | undefined]>([
    ['nothing', '', 'empty', undefined],
    ['blank lines', '\ufeff\n \n', 'empty', undefined],
    ['a picture', '\x89PNG\r\n\x1a\n\0\0', 'not-text', 1],
    ['prose', 'Dear Sir,\nthe engine is fine.\n', 'no-columns', undefined],
    ['numbers without a header row', '0,1\n0.01,2\n', 'no-columns', 1],
    ['no pressure', 'time_s,battery_v\n0,12\n0.01,12\n', 'no-pressure', 1],
    ['a pressure without a unit', 'time_s,pressure\n0,12\n0.01,12\n', 'no-pressure', 1],
    ['no time', 'sample,pressure_kpa\n0,12\n1,12\n', 'no-time', 1],
    ['no rows', '# cylinder: 1\ntime_s,pressure_kpa\n', 'no-rows', 3],
    ['empty rows', 'time_s,pressure_kpa\n,\n,\n', 'no-rows', 2],
    ['a word for a number', 'time_s,pressure_kpa\n0,high\n0.01,low\n', 'bad-number', 2],
    ['many words', `time_s,pressure_kpa\n0,1\n${'soon,2\n'.repeat(9)}`, 'bad-number', 3],
    [
      'a clock that restarts',
      'time_s,pressure_kpa\n0,1\n0.01,2\n0.02,2\n0.03,2\n5,3\n0,1\n0.01,2\n',
      'time-not-ascending',
      7,
    ],
    ['steps of a billionth of a billionth', 'time_s,pressure_kpa\n0,1\n1e-18,2\n2e-18,3\n', 'bad-number', 3],
    ['steps of ages', 'time_s,pressure_kpa\n0,1\n1e305,2\n2e305,3\n', 'bad-number', 3],
    ['one stamp ages later', 'time_s,pressure_kpa\n0,1\n0.01,2\n0.02,2\n1e9,3\n', 'bad-number', 5],
    ['pressures of a star', 'time_s,pressure_kpa\n0,1\n0.01,1e160\n0.02,2\n', 'bad-number', 3],
    ['pressures beyond any sensor', 'time_s,pressure_mpa\n0,1\n0.01,2\n0.02,250\n', 'bad-number', 4],
    ['a rate without end', '# sample_rate_hz: 1e308\npressure_kpa\n1\n2\n3\n', 'bad-number', 4],
    ['a rate of next to nothing', '# sample_rate_hz: 1e-300\npressure_kpa\n1\n2\n3\n', 'bad-number', 4],
    ['a clock that does not advance', 'time_s,pressure_kpa\n1,1\n1,2\n1,3\n', 'time-not-ascending', 3],
  ])('%s', (_, text, code, line) => {
    const outcome: TraceFileOutcome = parseTraceCsv(text, 'x.csv');
    expect(outcome).toMatchObject({ ok: false, problem: { code } });
    expect(!outcome.ok && outcome.problem.line).toBe(line);
    expect(!outcome.ok && outcome.problem.detail).toMatch(/^[A-Z].*\.$/);
  });

  test('quotes the start of the first bad line', () => {
    const problem = (text: string) => {
      const outcome = parseTraceCsv(text, 'x.csv');
      return outcome.ok ? undefined : outcome.problem;
    };
    expect(problem('time_s,pressure_kpa\n0,1\n0.1,high\n0.2,low\n0.3,x\n0.4,y\n')).toMatchObject({
      line: 3,
      excerpt: '0.1,high',
    });
    const long = problem(`Time,Load\n0,${'9'.repeat(400)}\n`);
    expect(long).toMatchObject({ code: 'no-pressure', line: 1, excerpt: 'Time,Load' });
    expect(problem(`${'1,'.repeat(400)}1\n`)?.excerpt).toMatch(/^1,1,.{55}…$/);
    expect(problem('time_s,pressure_kpa\n')?.excerpt).toBeUndefined();
  });

  test('too long a file, without reading it', () => {
    expect(parseTraceCsv('x'.repeat(32e6 + 1), 'x.csv')).toMatchObject({
      ok: false,
      problem: { code: 'too-large' },
    });
  });

  test('a few unreadable rows are left out', () => {
    const rows = Array.from({ length: 300 }, (_, i) => `${i / 100},${i}`);
    rows[100] = 'link paused';
    rows.push('end of file');
    expect(one(`time_s,pressure_kpa\n${rows.join('\n')}`).trace.timeS).toHaveLength(299);
  });
});
