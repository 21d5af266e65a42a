import { expect, it } from 'vitest';
import { createErrorLog } from '../../src/platform/error-log.ts';
import { StoreProblem } from '../../src/store/port.ts';

function notebook() {
  const pages = new Map<string, string>();
  return {
    read: (key: string) => pages.get(key) ?? null,
    write: (key: string, text: string) => void pages.set(key, text),
  };
}

it('keeps code, cause and place of an error, from one visit to the next', () => {
  const paper = notebook();
  const cause = new DOMException('No room.', 'QuotaExceededError');
  createErrorLog(paper).add('store', new StoreProblem('full', 'The browser gives no more room.', { cause }));
  const [line] = createErrorLog(paper).lines();
  expect(line).toContain('store: StoreProblem full: The browser gives no more room.');
  expect(line).toContain('cause: QuotaExceededError');
  expect(line).toMatch(/error-log\.test\.ts:\d+:\d+/);
});

it('keeps nothing that a person wrote: what stands in quotation marks, and folders of a stack', () => {
  const log = createErrorLog(notebook());
  const error = new TypeError('Cannot read "Anna’s estate" of \'Müller, 0171 555\'');
  error.stack = `TypeError\n at open (file:///home/anna/app/src/main.tsx?t=1:12:34)`;
  log.add('page', error);
  log.add('promise', 'Anna said so');
  expect(log.lines()).toEqual(['page: TypeError: Cannot read … of … at main.tsx:12:34', 'promise: string']);
});

it('keeps the last fifty, and the same one only once in a row', () => {
  const log = createErrorLog(notebook());
  for (let i = 0; i < 200; i++)
    log.add('store', Object.assign(new Error('x'), { stack: '', name: `E${i >> 1}` }));
  expect(log.lines()).toHaveLength(50);
  expect(log.lines().at(-1)).toBe('store: E99: x');
});
