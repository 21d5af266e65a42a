import { effect } from '@preact/signals';
import { describe, expect, it } from 'vitest';
import { createLruCache } from '../../src/library/lru-cache.ts';
import { createTaskQueue } from '../../src/library/task-queue.ts';
import { captureWorld, testRecord } from '../support/capture-world.ts';
import { createTestStore, settle } from '../support/test-store.ts';

/** A task that ends when the test says so, and records that it has begun. */
function work() {
  const begun: string[] = [];
  const ends = new Map<string, () => void>();
  return {
    begun,
    end: async (name: string) => {
      ends.get(name)!();
      await settle();
    },
    of: (name: string) => () => {
      begun.push(name);
      return new Promise<void>((resolve) => ends.set(name, resolve));
    },
  };
}

describe('queue', () => {
  it('runs the latest requests first, a few at a time', async () => {
    const queue = createTaskQueue(2);
    const { begun, of, end } = work();
    for (const name of ['a', 'b', 'c', 'd']) queue.next(name, of(name));
    expect(begun).toEqual(['a', 'b']);
    await end('a');
    await end('b');
    expect(begun).toEqual(['a', 'b', 'd', 'c']);
  });

  it('skips dropped tasks, and replaced ones', async () => {
    const queue = createTaskQueue(1);
    const { begun, of, end } = work();
    queue.next('a', of('a'));
    queue.next('b', of('b'));
    queue.next('c', of('old c'));
    queue.next('c', of('new c'));
    expect(queue.drop('b')).toBe(true);
    expect(queue.drop('a')).toBe(false);
    await end('a');
    await end('new c');
    expect(begun).toEqual(['a', 'new c']);
  });

  it('runs low-priority tasks last, and returns their outcome', async () => {
    const queue = createTaskQueue(1);
    const { begun, of, end } = work();
    queue.next('a', of('a'));
    const answer = queue.later(async () => 'answer');
    const refusal = queue.later(() => Promise.reject(new Error('no')));
    refusal.catch(() => undefined);
    queue.next('b', of('b'));
    await end('a');
    expect(begun).toEqual(['a', 'b']);
    await end('b');
    await expect(answer).resolves.toBe('answer');
    await expect(refusal).rejects.toThrow('no');
  });

  it('continues after a failed task', async () => {
    const queue = createTaskQueue(1);
    const { begun, of } = work();
    queue.next('a', () => Promise.reject(new Error('no')));
    queue.next('b', of('b'));
    await settle();
    expect(begun).toEqual(['b']);
  });
});

describe('LRU cache', () => {
  it('evicts the least recently used entry, but no held one', () => {
    const recent = createLruCache<number>(2, (key) => key === 'held');
    recent.set('held', 0);
    recent.set('a', 1);
    expect(recent.get('a')).toBe(1);
    recent.set('b', 2);
    recent.set('c', 3);
    expect(recent.keys()).toEqual(['held', 'c']);
  });
});

describe('a library with many tests', () => {
  /** A store with this many tests, which records whose takes are requested. */
  async function manyTests(count: number) {
    const store = createTestStore();
    const asked: string[] = [];
    const { takes } = store;
    store.takes = (testId) => {
      asked.push(testId);
      return takes(testId);
    };
    for (let i = 0; i < count; i++) await store.saveTest({ ...testRecord, id: `t${i}` });
    return { ...(await captureWorld({ store })), asked };
  }

  it('does not load rows that were scrolled past', async () => {
    const { library, asked } = await manyTests(20);
    const passed = Array.from({ length: 20 }, (_, i) => effect(() => void library.test(`t${i}`).value));
    for (const look of passed.slice(0, -2)) look();
    await settle();
    // The first two had begun before any other request.
    expect(asked).toEqual(['t0', 't1', 't19', 't18']);
  });

  it('evicts tests that are not on view, and loads them again when they are', async () => {
    const { library, asked } = await manyTests(200);
    const held = library.test('t0');
    const look = effect(() => void held.value);
    for (let i = 1; i < 200; i++) {
      library.test(`t${i}`);
      await settle();
    }
    expect(library.test('t0')).toBe(held);
    look();
    for (let i = 1; i < 200; i++) library.test(`t${i}`);
    await settle();
    asked.length = 0;
    expect(library.test('t0')).not.toBe(held);
    await settle();
    expect(asked).toContain('t0');
    const value = held.value;
    const again = effect(() => void held.value);
    await settle();
    expect(held.value).toEqual(value);
    again();
  });

  it('reads final pressures without judging', async () => {
    const { library, store } = await manyTests(0);
    await library.addTyped(testRecord, 2, 'dry', { strokesKpa: [], finalKpa: 900 });
    await library.addTyped(testRecord, 2, 'wet', { strokesKpa: [], finalKpa: 1000 });
    const engine = (await store.engine(testRecord.engineId))!;
    expect([...(await library.finals(engine, testRecord))]).toEqual([[2, 900]]);
  });
});
