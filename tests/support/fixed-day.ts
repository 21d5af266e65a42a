import { afterAll, beforeAll, vi } from 'vitest';
import { testRecord } from './store-records.ts';

/** Fixes the date of a test file at one hour after the test of `store-records.ts` began: only `Date` is faked. */
export function onDayOfRecords(): void {
  const now = Date.parse(testRecord('t', 'e').startedAt) + 3_600_000;
  beforeAll(() => void vi.useFakeTimers({ toFake: ['Date'], now }));
  afterAll(() => void vi.useRealTimers());
}
