import { expect, it } from 'vitest';
import { createErrorLog } from '../../src/platform/error-log.ts';
import { StoreProblem } from '../../src/store/port.ts';

function storage() {
  const pages = new Map<string, string>();
  return {
    read: (key: string) => pages.get(key) ?? null,
    write: (key: string, text: string) => void pages.set(key, text),
  };
}

const noon = { wallTime: () => '2026-11-27T12:00:00.123Z' };

it('keeps time, code, cause and place of an error across visits', () => {
  const paper = storage();
  const cause = new DOMException('No room.', 'QuotaExceededError');
  createErrorLog(paper, noon).add(
    'store',
    new StoreProblem('full', 'The browser gives no more room.', { cause }),
  );
  const [line] = createErrorLog(paper, noon).lines();
  expect(line).toContain('2026-11-27T12:00:00Z store: StoreProblem full at ');
  expect(line).toContain('cause: QuotaExceededError');
  expect(line).toMatch(/error-log\.test\.ts:\d+:\d+/);
});

it.each([
  'Cannot read "Anna’s estate" of \'Müller, 0171 555\'',
  'Anna’s estate has no cylinder 4',
  'anna.ts:1:2 is not an engine',
  'First\n    at Anna (anna.ts:1:2)',
])('keeps no text that a user may have written: %s', (message) => {
  const log = createErrorLog(storage(), noon);
  const error = new TypeError(message, { cause: Object.assign(new Error(message), { stack: undefined }) });
  error.stack = `TypeError: ${message}\n at open (file:///home/anna/app/src/main.tsx?t=1:12:34)`;
  log.add('page', error);
  log.add('page', Object.assign(new Error(message), { name: message, code: message, stack: message }));
  log.add('page', { code: message });
  log.add('promise', message);
  expect(log.lines()).toEqual(
    ['page: TypeError at main.tsx:12:34; cause: Error', 'page: Error', 'page: object', 'promise: string'].map(
      (line) => `2026-11-27T12:00:00Z ${line}`,
    ),
  );
});

it('keeps the code of a problem that was reported and not thrown', () => {
  const log = createErrorLog(storage(), noon);
  log.add('bring-in', { code: 'not-ours', detail: 'Anna’s estate is not one of ours.' });
  expect(log.lines()).toEqual(['2026-11-27T12:00:00Z bring-in: not-ours']);
});

it('keeps the last fifty, and of equal ones in a row only the first', () => {
  let second = 0;
  const clock = { wallTime: () => new Date(Date.UTC(2026, 0, 1, 0, 0, second)).toISOString() };
  const log = createErrorLog(storage(), clock);
  for (; second < 200; second++)
    log.add('store', Object.assign(new Error('x'), { stack: '', name: `E${second >> 1}` }));
  expect(log.lines()).toHaveLength(50);
  expect(log.lines().at(-1)).toBe('2026-01-01T00:03:18Z store: E99');
});

it('removes lines without a time, which an older version may have stored with messages', () => {
  const paper = storage();
  paper.write('strokebook-errors', 'page: TypeError: Anna said so');
  expect(createErrorLog(paper, noon).lines()).toEqual([]);
});
