import { expect, test } from 'vitest';
import { localDay } from '../../src/library/test-date.ts';
import { engineNamed, proposedDay, realEngines } from '../../src/screens/recordings/recording-target.ts';
import type { RecordedTrace, TraceHeader } from '../../worker/file/csv/trace-file.ts';
import { engineRecord } from '../support/store-records.ts';

const now = new Date(2026, 4, 2, 12);
const changed = new Date(2026, 3, 1, 12);
const recorded = (header: Partial<TraceHeader>): RecordedTrace => ({
  fileName: 'c1.csv',
  header: { geometry: {}, manual: {}, ...header },
  trace: { timeS: new Float64Array(), pressureKpa: new Float64Array(), gaps: [] },
});
const dated = (...days: (string | undefined)[]) => days.map((day) => recorded({ recorded: day }));

test('recordings join real engines only', () => {
  const origins = ['measured', 'simulated', 'recording', 'example', 'typed'] as const;
  const engines = origins.map((origin) => engineRecord(origin, { origin }));
  expect(realEngines(engines).map(({ id }) => id)).toEqual(['measured', 'recording', 'typed']);
});

test('the engine is found by its name in any spelling, and not by an empty one', () => {
  const engines = [engineRecord('e1', { name: 'Grey  Estate' }), engineRecord('e2', { name: '' })];
  expect(engineNamed(engines, [recorded({ engine: ' grey estate' })])?.id).toBe('e1');
  expect(engineNamed(engines, [recorded({ engine: '' }), recorded({})])).toBeUndefined();
});

test.each([
  [
    'the first of the days that the headers state',
    dated('2025-05-03', undefined, '2025-05-01'),
    '2025-05-01',
    'header',
    2,
  ],
  ['the day of the last change without a header', dated(undefined), localDay(changed), 'changed', 0],
  ['no day to come', dated('2031-01-01'), localDay(changed), 'changed', 0],
] as const)('%s is proposed', (_, traces, day, from, days) => {
  expect(proposedDay(traces, changed, now)).toEqual({ day, from, days });
});

test('today is proposed for a file whose clock was ahead', () => {
  expect(proposedDay(dated(undefined), new Date(2031, 0, 1), now).day).toBe(localDay(now));
});
