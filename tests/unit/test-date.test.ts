import { describe, expect, test } from 'vitest';
import { readerFor } from '../../src/components/reader.ts';
import { plugFindings } from '../../src/library/plug-findings.ts';
import { dayInHeader, dayProblem, withDay } from '../../src/library/set-test-date.ts';
import { byTaken, localDay, takenAt } from '../../src/library/test-date.ts';
import { newTest } from '../../src/screens/compression-test/new-records.ts';
import { trendTests } from '../../src/screens/engine/trend-tests.ts';
import { reportContent } from '../../src/screens/report/content.ts';
import { evidenceList } from '../../worker/file/session/evidence-bytes.ts';
import { tested } from '../support/loaded-test.ts';
import { engineRecord, plugRecord, testRecord } from '../support/store-records.ts';

const made = testRecord('t1', 'e1');
const lastYear = withDay(made, '2025-04-30', 'hand');
const now = new Date(2026, 4, 2, 12);

describe('the day of a test', () => {
  test('is the day of the record until another one is entered', () => {
    expect(takenAt(made)).toBe(made.startedAt);
    expect(localDay(new Date(takenAt(lastYear)))).toBe('2025-04-30');
    expect(lastYear.startedAt).toBe(made.startedAt);
  });

  test('entered by hand as the day of the record, or cleared, leaves the record as it was made', () => {
    const day = localDay(new Date(made.startedAt));
    expect(withDay(lastYear, day, 'hand')).toEqual(made);
    expect(withDay(lastYear, null, 'hand')).toEqual(made);
  });

  test('of a file is marked as such, also on the day of the record', () => {
    const day = localDay(new Date(made.startedAt));
    const opened = withDay(made, day, 'file');
    expect(opened).toMatchObject({ takenOn: day, takenFrom: 'file' });
    expect(takenAt(opened)).toBe(made.startedAt);
  });

  test.each([
    ['2026-05-03', 'future'],
    ['2026-05-02', null],
    ['1900-01-01', null],
    ['1899-12-31', 'too-old'],
    ['0020-05-03', 'too-old'],
    ['2026-02-30', 'no-day'],
    ['3 May', 'no-day'],
    ['', 'no-day'],
  ])('%s is %s on 2 May 2026', (day, problem) => {
    expect(dayProblem(day, now)).toBe(problem);
  });

  test.each([
    ['2025-04-30', '2025-04-30'],
    ['2025-04-30 08:15:00', '2025-04-30'],
    ['2025-04-30T08:15:00.000Z', localDay(new Date('2025-04-30T08:15:00.000Z'))],
    ['2025-04-30T23:30:00-09:00', localDay(new Date('2025-05-01T08:30:00Z'))],
    // Day and month cannot be told apart.
    ['03/05/2025', undefined],
    ['2025-02-31', undefined],
    ['before 1900: 1812-05-03', undefined],
    [undefined, undefined],
  ])('a header that says %s is of %s', (recorded, day) => {
    expect(dayInHeader(recorded)).toBe(day);
  });
});

describe('follows the day of the test:', () => {
  const live = testRecord('t0', 'e1', { startedAt: '2026-01-10T09:00:00.000Z' });

  test('the order', () => {
    const twin = withDay(
      testRecord('t2', 'e1', { startedAt: '2026-05-02T10:06:00.000Z' }),
      '2025-04-30',
      'hand',
    );
    expect([twin, live, made, lastYear].sort(byTaken).map(({ id }) => id)).toEqual(['t1', 't2', 't0', 't1']);
  });

  test('the trend', () => {
    const finalsKpa = new Map([[1, 900]]);
    const rows = trendTests(
      [
        { test: live, finalsKpa },
        { test: lastYear, finalsKpa },
      ],
      'date',
    );
    expect(rows.map(({ id }) => id)).toEqual(['t1', 't0']);
    expect(localDay(new Date(rows[0]!.at))).toBe('2025-04-30');
    expect(localDay(new Date(rows[0]!.takenAt))).toBe('2025-04-30');
  });

  test('the plugs that belong to it', () => {
    const plug = plugRecord('p1', 'e1', { seenAt: '2025-04-29T10:00:00.000Z' });
    expect(plugFindings([plug], takenAt(made))).toEqual([]);
    expect(plugFindings([plug], takenAt(lastYear))).toHaveLength(1);
  });

  test('the safety answers of a repeat test', () => {
    const answer = (test: typeof made, ticked: string[]) => ({ ...test, conditions: { ticked } });
    const engine = engineRecord('e1');
    const earlier = [answer(lastYear, ['carburettor']), answer(live, ['injected'])];
    expect(newTest(engine, made.rule, 'measured', earlier).conditions.ticked).toEqual(['injected']);
  });
});

describe('the report', () => {
  const reader = readerFor('kPa', 'en-GB');
  const content = (test: typeof made) => {
    const loaded = tested([1000, 990, 1010, 1000]);
    return reportContent({ ...loaded, test: { ...loaded.test, ...test } }, [], reader);
  };
  const measured = (test: typeof made) =>
    content(test).about.find(({ name }) => name === reader.t.report.fact.measured)?.value;

  test('says that a date was entered by hand, and when the record was made', () => {
    expect(measured(made)).not.toContain('hand');
    expect(measured(lastYear)).toMatch(/^30\u00a0Apr\u00a02025, entered by hand.*2\u00a0May\u00a02026/);
    expect(content(lastYear).notMeasured.join(' ')).toMatch(/Date: entered by hand/);
    expect(content(made).notMeasured.join(' ')).not.toMatch(/Date:/);
  });

  test('says that a date is from the file', () => {
    expect(measured(withDay(made, '2025-04-30', 'file'))).toMatch(/^30\u00a0Apr\u00a02025, from the file/);
    expect(content(withDay(made, '2025-04-30', 'file')).notMeasured.join(' ')).not.toMatch(/Date:/);
  });
});

test('the fingerprint covers the day entered, and is unchanged for tests without one', () => {
  const bytes = (test: typeof made) => new TextDecoder().decode(evidenceList(test, [], 2));
  expect(bytes(lastYear)).toContain('"takenOn":"2025-04-30"');
  expect(bytes(made)).not.toContain('taken');
  expect(bytes(lastYear).replace(/"takenFrom":"hand","takenOn":"2025-04-30"/, '')).toContain(made.startedAt);
});
