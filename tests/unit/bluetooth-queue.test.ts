import { afterEach, beforeEach, describe, expect, it, test, vi } from 'vitest';
import { browserClock } from '../../src/platform/clock.ts';
import { createGattQueue } from '../../src/sources/bluetooth/gatt-queue.ts';
import { type Step, toSourceProblem } from '../../src/sources/bluetooth/problems.ts';
import { SourceProblem } from '../../src/sources/port.ts';

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

const after = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

describe('one operation at a time', () => {
  it('starts the next one only after the last one has settled or failed', async () => {
    const queue = createGattQueue(browserClock);
    const log: string[] = [];
    const operation =
      (name: string, fails = false) =>
      async (): Promise<string> => {
        log.push(`${name} begins`);
        await after(100);
        log.push(`${name} ends`);
        if (fails) throw new DOMException('GATT operation failed.', 'NetworkError');
        return name;
      };
    const results = Promise.allSettled([
      queue.run('read', 1000, operation('a')),
      queue.run('read', 1000, operation('b', true)),
      queue.run('read', 1000, operation('c')),
    ]);
    await vi.advanceTimersByTimeAsync(1000);
    expect(log).toEqual(['a begins', 'a ends', 'b begins', 'b ends', 'c begins', 'c ends']);
    expect((await results).map((result) => result.status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
  });

  it('gives up on one that does not settle, after a delay', async () => {
    const queue = createGattQueue(browserClock);
    const hanging = queue
      .run('read', 500, () => new Promise<never>(() => undefined))
      .catch((cause: unknown) => cause);
    let begunMs = 0;
    const next = queue.run('read', 500, async () => {
      begunMs = performance.now();
    });
    const startMs = performance.now();
    await vi.advanceTimersByTimeAsync(3000);
    await next;
    expect(await hanging).toMatchObject({ code: 'timed-out' });
    expect(begunMs - startMs).toBe(1500);
  });

  it('settles everything when closed, and accepts nothing more', async () => {
    const queue = createGattQueue(browserClock);
    const begun: string[] = [];
    const outcomes = ['running', 'waiting'].map((name) =>
      queue
        .run('read', 5000, () => {
          begun.push(name);
          return new Promise<never>(() => undefined);
        })
        .catch((cause: unknown) => cause),
    );
    await vi.advanceTimersByTimeAsync(10);
    const problem = new SourceProblem('link-lost', 'gone');
    queue.close(problem);
    expect(await Promise.all(outcomes)).toEqual([problem, problem]);
    await expect(queue.run('read', 100, async () => begun.push('late'))).rejects.toBe(problem);
    await vi.advanceTimersByTimeAsync(20_000);
    expect(begun).toEqual(['running']);
  });

  it('turns a synchronous exception into a problem too', async () => {
    const queue = createGattQueue(browserClock);
    const thrower = (): Promise<void> => {
      throw new DOMException('GATT Server is disconnected.', 'NetworkError');
    };
    await expect(queue.run('discover', 100, thrower)).rejects.toMatchObject({ code: 'link-lost' });
  });
});

/** Names and messages as Chromium gives them (seen in its tests, in reports, and against an emulated radio). */
const thrown: readonly (readonly [Step, string, string, string])[] = [
  ['choose', 'NotFoundError', 'User cancelled the requestDevice() chooser.', 'cancelled'],
  ['choose', 'NotFoundError', 'Bluetooth adapter not available.', 'bluetooth-off'],
  ['choose', 'NotFoundError', 'Web Bluetooth API globally disabled.', 'not-allowed'],
  ['choose', 'SecurityError', 'Must be handling a user gesture to show a permission request.', 'not-allowed'],
  ['choose', 'NotSupportedError', 'Bluetooth Low Energy not available.', 'no-bluetooth'],
  ['choose', 'TypeError', 'A service filter is empty.', 'unexpected'],
  ['connect', 'NetworkError', 'Bluetooth Device is no longer in range.', 'out-of-range'],
  ['connect', 'NetworkError', 'Connection Error: Connection attempt failed.', 'out-of-range'],
  ['connect', 'NetworkError', 'Authentication failed.', 'refused'],
  ['discover', 'NetworkError', 'GATT Server is disconnected. Cannot retrieve services.', 'link-lost'],
  ['discover', 'NotFoundError', 'No Services found in device.', 'no-pressure-service'],
  ['discover', 'SecurityError', 'Origin is not allowed to access any service.', 'not-allowed'],
  ['read', 'NotSupportedError', 'GATT operation not permitted.', 'refused'],
  ['read', 'InvalidStateError', 'Characteristic is no longer valid.', 'link-lost'],
  ['subscribe', 'NetworkError', 'GATT operation already in progress.', 'refused'],
  ['subscribe', 'UnknownError', 'Something else.', 'unexpected'],
];

test.each(thrown)('%s, %s "%s" is %s', (step, name, message, code) => {
  const cause = new DOMException(message, name);
  const problem = toSourceProblem(cause, step);
  expect(problem.code).toBe(code);
  expect(problem.cause).toBe(cause);
  expect(problem.message).toContain(message);
});

test('a problem stays as it is, and any thrown value becomes one', () => {
  const problem = new SourceProblem('refused', 'no');
  expect(toSourceProblem(problem, 'read')).toBe(problem);
  expect(toSourceProblem('odd', 'read')).toMatchObject({ code: 'unexpected' });
  expect(toSourceProblem(undefined, 'read')).toMatchObject({ code: 'unexpected' });
});
