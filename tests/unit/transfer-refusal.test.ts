import { expect, it } from 'vitest';
import { createErrorLog } from '../../src/platform/error-log.ts';
import { asRefusal, asStoreProblem } from '../../src/screens/keep/refusal.ts';
import { StoreProblem } from '../../src/store/port.ts';

/** What the log has of it once it has come from the worker to its page. */
function logged(cause: unknown): string {
  const log = createErrorLog(
    { read: () => null, write: () => undefined },
    { wallTime: () => '2026-11-27T12:00:00.000Z' },
  );
  log.add('transfer backup', asStoreProblem(structuredClone(asRefusal(cause))));
  return log.lines()[0]!.replace(/ at [^;]*(?=;|$)/g, ' at');
}

it('comes to the page with its code, and to the log with its cause and where that was', () => {
  const cause = new DOMException('Anna’s estate.', 'QuotaExceededError');
  const problem = new StoreProblem('full', 'The browser gives no more room.', { cause });
  expect(asStoreProblem(structuredClone(asRefusal(problem)))).toMatchObject({
    code: 'full',
    message: 'The browser gives no more room.',
  });
  expect(logged(problem)).toBe(
    '2026-11-27T12:00:00Z transfer backup: StoreProblem full at; cause: QuotaExceededError at',
  );
});

it('is unexpected when it is none of the store’s, whatever it holds and is', () => {
  const error = Object.assign(new TypeError('Anna said anna.ts:1:2'), { cause: () => 'no clone' });
  expect(logged(error)).toBe(
    '2026-11-27T12:00:00Z transfer backup: StoreProblem unexpected at; cause: TypeError at',
  );
  expect(JSON.stringify(asRefusal(error))).not.toMatch(/anna/i);
  expect(logged('Anna')).toBe('2026-11-27T12:00:00Z transfer backup: StoreProblem unexpected at');
});
