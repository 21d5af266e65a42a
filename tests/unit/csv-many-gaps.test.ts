import { expect, test } from 'vitest';
import type { Gap } from '../../worker/core/trace.ts';
import { parseTraceCsv, writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';

test('a trace with hundreds of gaps reads back whole', () => {
  const gaps: Gap[] = Array.from({ length: 500 }, (_, i) => ({
    startS: i * 0.02,
    endS: i * 0.02 + 0.01,
    reason: 'packets-lost',
  }));
  const timeS = Float64Array.from(gaps.flatMap((g) => [g.startS, g.endS]));
  const trace = { timeS, pressureKpa: timeS.map((t) => t + 1), gaps };
  const outcome = parseTraceCsv(writeTraceCsv(trace, { geometry: {}, manual: {} }), 'lossy.csv');
  expect(outcome.ok && outcome.traces[0]!.trace).toEqual(trace);
});
