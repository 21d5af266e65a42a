import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import {
  inBatches,
  newestWithFinals,
  readingOrder,
  type TestFinals,
  trendTests,
} from '../../src/screens/engine/trend-tests.ts';
import { testRecord } from '../support/store-records.ts';

const tests = ['t5', 't4', 't3', 't2', 't1'].map((id, i) =>
  testRecord(id, 'e1', { startedAt: `2026-05-0${5 - i}T10:00:00.000Z` }),
);
const read = (id: string, finals: readonly (readonly [number, number])[] | null): TestFinals => ({
  test: tests.find((one) => one.id === id)!,
  finalsKpa: finals && new Map(finals),
});

describe('reading a long history', () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  test('reads both ends of the axis first', () => {
    const order = (some: typeof tests) => readingOrder(some).map(({ id }) => id);
    expect(order(tests)).toEqual(['t5', 't1', 't4', 't3', 't2']);
    expect(order(tests.slice(0, 2))).toEqual(['t5', 't4']);
    expect(order([])).toEqual([]);
  });

  test('yields batches from time to time, the first soon and the last complete', async () => {
    const items = Array.from({ length: 22 }, (_, i) => i);
    const readOne = async (item: number) => {
      await vi.advanceTimersByTimeAsync(20);
      return item;
    };
    const lengths: number[] = [];
    let last: readonly number[] = [];
    for await (const some of inBatches(items, readOne, 150)) {
      lengths.push(some.length);
      last = some;
    }
    expect(last).toEqual(items);
    expect(lengths[0]).toBe(4);
    expect(lengths.at(-1)).toBe(22);
    expect(lengths.length).toBeLessThan(5);
  });

  test('yields nothing for an empty list', async () => {
    const batches: (readonly number[])[] = [];
    for await (const some of inBatches([], async (item: number) => item, 100)) batches.push(some);
    expect(batches).toEqual([]);
  });
});

describe('the newest test with a figure', () => {
  test('is unknown until every newer one is read', () => {
    const known = [read('t5', []), read('t3', [[1, 900]])];
    expect(newestWithFinals(tests, { known, waiting: 3 })).toBeUndefined();
    const more = [...known, read('t4', null)];
    expect(newestWithFinals(tests, { known: more, waiting: 2 })?.id).toBe('t3');
  });

  test('is `undefined` where none has one', () => {
    expect(
      newestWithFinals(tests, { known: tests.map(({ id }) => read(id, [])), waiting: 0 }),
    ).toBeUndefined();
  });
});

test('a trend leaves out tests without a figure and unreadable ones, and follows the axis', () => {
  const known = [read('t5', [[1, 900]]), read('t1', [[1, 1000]]), read('t4', null), read('t3', [])];
  expect(trendTests(known, 'date').map(({ id }) => id)).toEqual(['t1', 't5']);
  expect(trendTests(known, 'odometer')).toEqual([]);
});
