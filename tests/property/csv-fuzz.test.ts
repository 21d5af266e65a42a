/** Untrusted files: for any content the reader returns samples or one clear reason, and never throws. */
import fc from 'fast-check';
import { expect, test, vi } from 'vitest';
import { parseTraceCsv } from '../../worker/file/csv/trace-csv.ts';

const RUNS = 5000;
// Alone it takes a second or two; under load on a small machine, far longer.
vi.setConfig({ testTimeout: 60_000 });

const HEADER = '# engine: inline-4\n# cylinder: 3\n# zero: 0.4\n';
const rows = (separator: string, mark: string) =>
  Array.from({ length: 30 }, (_, i) =>
    [(i * 0.005).toFixed(3), (i * 1.25).toFixed(2)].map((cell) => cell.replace('.', mark)).join(separator),
  ).join('\n');
const SEEDS = [
  `${HEADER}time_s,pressure_kpa\n${rows(',', '.')}\n`,
  `${HEADER}Time [s];Cylinder 1 [bar]\r\n${rows(';', ',')}\r\n`,
  `\ufefftime_ms\tpressure_psi\n${rows('\t', '.')}\n`,
  `"Time (s)","cyl1_psi","cyl2_psi"\n${rows(',', '.').replaceAll('\n', ',7\n')}\n`,
  `timestamp;pressure_mpa\n2026-05-02T10:00:00.100Z;1\n2026-05-02T10:00:00.105Z;2,5\n`,
];

/** Fragments of text that commonly break readers. */
const NASTY = fc.constantFrom(
  '"',
  '""',
  '\n',
  '\r',
  ',',
  ';',
  '\t',
  '#',
  ':',
  '-',
  'e',
  '1e999',
  '-0',
  'NaN',
  '0x1F',
  '\0',
  '\ufeff',
  '\u2028',
  '__proto__',
  'constructor',
  '# gap: 1 0 silence',
  '# cylinder: 99999999999',
  'time_s',
  '[psi]',
  '=cmd()',
  '<script>',
  '‮',
  '9'.repeat(400),
  ' '.repeat(1000),
);

interface Edit {
  readonly at: number;
  readonly remove: number;
  readonly insert: string;
}

const edit: fc.Arbitrary<Edit> = fc.record({
  at: fc.nat(1000),
  remove: fc.oneof(fc.constant(0), fc.nat(3), fc.nat(300)),
  insert: fc.oneof(NASTY, fc.string({ unit: 'binary', maxLength: 8 }), fc.constant('')),
});

const mutated = fc
  .record({ seed: fc.constantFrom(...SEEDS), edits: fc.array(edit, { minLength: 1, maxLength: 6 }) })
  .map(({ seed, edits }) =>
    edits.reduce((text, { at, remove, insert }) => {
      const start = at % (text.length + 1);
      return text.slice(0, start) + insert + text.slice(start + remove);
    }, seed),
  );

function expectSamplesOrReason(text: string): void {
  const lines = text.split(/\r\n?|\n/).length;
  const outcome = parseTraceCsv(text, 'c1.csv');
  if (!outcome.ok) {
    const { line, detail } = outcome.problem;
    if (!/^[A-Z].{5,200}\.$/su.test(detail)) throw new Error(`no sentence: ${detail}`);
    if (line !== undefined && !(line >= 1 && line <= lines + 1)) throw new Error(`line ${line} of ${lines}`);
    return;
  }
  if (outcome.traces.length === 0) throw new Error('neither samples nor a reason');
  for (const { header, trace } of outcome.traces) {
    const { timeS, pressureKpa } = trace;
    if (timeS.length === 0 || timeS.length !== pressureKpa.length) throw new Error('lengths');
    if (timeS.length > lines) throw new Error('more samples than lines: some were invented');
    for (let i = 0; i < timeS.length; i++) {
      if (!Number.isFinite(timeS[i]) || !Number.isFinite(pressureKpa[i])) throw new Error('not finite');
      if (i > 0 && !(timeS[i]! > timeS[i - 1]!)) throw new Error('times do not ascend');
    }
    const { cylinder } = header;
    if (cylinder !== undefined && !(Number.isInteger(cylinder) && cylinder >= 1 && cylinder <= 99)) {
      throw new Error(`cylinder ${cylinder}`);
    }
  }
}

test('changed files give samples or a clear reason', () => {
  fc.assert(fc.property(mutated, expectSamplesOrReason), { numRuns: RUNS });
});

test('any text gives samples or a clear reason', () => {
  fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 200 }), expectSamplesOrReason), {
    numRuns: RUNS,
  });
});

test('most of the changed files can still be read: the fuzz reaches past the header', () => {
  const outcomes = fc
    .sample(mutated, { numRuns: 500, seed: 1 })
    .map((text) => parseTraceCsv(text, 'c1.csv').ok);
  expect(outcomes.filter(Boolean).length).toBeGreaterThan(200);
});

/** Shapes on which a careless pattern needs quadratic or cubic time in the length. */
const LONG: [string, (n: number) => string][] = [
  ['spaces', (n) => `time_s,pressure_kpa${' '.repeat(n)}x\n0,1\n`],
  ['spaces between columns', (n) => `time_s pressure_kpa\n0${' '.repeat(n)}1 x\n0.1 2\n`],
  ['an open bracket', (n) => `time (${' '.repeat(n)}\n`],
  ['brackets', (n) => `time${'('.repeat(n)},pressure [bar]\n0,1\n`],
  ['commas', (n) => `${','.repeat(n)}\n`.repeat(20)],
  ['a comment of quotes', (n) => `"#${'""'.repeat(n)} x\ntime_s,pressure_kpa\n0,1\n`],
  ['a comment of fill', (n) => `# engine: a${'; '.repeat(n)}x\ntime_s,pressure_kpa\n0,1\n`],
  ['comments among the rows', (n) => `time_s,pressure_kpa\n0,1\n# engine:${' '.repeat(n)}x\n0.1,2\n`],
  ['a number', (n) => `time_s,pressure_kpa\n0,${'1,234'.repeat(n)}\n0.1,${'9'.repeat(n)}\n`],
  ['blank lines', (n) => `${'\n'.repeat(n)}time_s,pressure_kpa\n${'\n'.repeat(n)}0,1\n`],
  ['a name', (n) => `time_s,cyl${'_'.repeat(n)}1\n0,1\n`],
  ['quotes', (n) => `time_s,pressure_kpa\n${'"'.repeat(n)}\n`],
];

test.each(LONG)('a long stretch of %s takes time in proportion to its length', (_, make) => {
  const cpuMs = (text: string) => {
    const before = process.cpuUsage();
    expectSamplesOrReason(text);
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 1000;
  };
  cpuMs(make(100));
  expect(cpuMs(make(300_000))).toBeLessThan(1000);
});
