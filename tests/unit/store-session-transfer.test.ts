import 'fake-indexeddb/auto';
import { expect, test } from 'vitest';
import { createIdbStore } from '../../src/store/idb-store.ts';
import { createMemoryStore } from '../../src/store/memory-store.ts';
import type { TestStore } from '../../src/store/port.ts';
import { exportSession, importSession } from '../../src/store/session-transfer.ts';
import { parseSession, type Session } from '../../worker/file/session.ts';
import { block, engineRecord, gap, takeRecord, testRecord } from '../support/store-records.ts';

const savedAt = '2026-05-03T08:00:00.000Z';

async function filled(): Promise<TestStore> {
  const store = createIdbStore(`transfer-${Math.random()}`);
  await store.saveEngine(engineRecord('e1'));
  await store.saveEngine(engineRecord('e2'));
  await store.saveTest(testRecord('t1', 'e1'));
  await store.saveTest(testRecord('t2', 'e2'));
  for (const [id, testId] of [
    ['k1', 't1'],
    ['k2', 't1'],
    ['k3', 't2'],
  ] as const) {
    await store.saveTake(takeRecord(id, testId, { state: 'finished' }));
    await store.append(id, 0, block(0, [1, 2, 3]), []);
    await store.append(id, 1, block(1, [4]), [gap(0.02, 1)]);
  }
  return store;
}

async function read(blob: Blob): Promise<Session> {
  const outcome = parseSession(await blob.text());
  if (!outcome.ok) throw new Error(outcome.problem.detail);
  return outcome.session;
}

test('a backup brought into an empty store is all there, and exports to the same file', async () => {
  const store = await filled();
  const shares: number[] = [];
  const backup = await exportSession(store, { savedAt, onProgress: (share) => shares.push(share) });
  expect(shares).toEqual([0.5, 1]);
  const other = createMemoryStore();
  expect(await importSession(other, await read(backup))).toEqual({ added: 7, alreadyThere: 0 });
  expect(await other.trace('k1')).toEqual(await store.trace('k1'));
  expect(await (await exportSession(other, { savedAt })).text()).toBe(await backup.text());
});

test('brought in again it adds nothing', async () => {
  const store = await filled();
  const session = await read(await exportSession(store, { savedAt }));
  expect(await importSession(store, session)).toEqual({ added: 0, alreadyThere: 7 });
  expect(await store.tests()).toHaveLength(2);
});

test('what was changed since stays, and the old state comes in beside it, once', async () => {
  const store = await filled();
  const session = await read(await exportSession(store, { savedAt }));
  await store.saveEngine(engineRecord('e1', { name: 'Renamed' }));
  expect(await importSession(store, session)).toEqual({ added: 4, alreadyThere: 3 });
  expect(await importSession(store, session)).toEqual({ added: 0, alreadyThere: 7 });
  expect((await store.engines()).map(({ id, name }) => [id, name])).toEqual([
    ['e1', 'Renamed'],
    ['e1-2', 'Engine e1'],
    ['e2', 'Engine e2'],
  ]);
  expect(await store.trace('k1-2')).toEqual(await store.trace('k1'));
});

test('one engine, or one test of it, with nothing of the others', async () => {
  const store = await filled();
  const ofEngine = await read(await exportSession(store, { engineId: 'e2', savedAt }));
  expect([ofEngine.engines, ofEngine.tests, ofEngine.takes].map((list) => list.length)).toEqual([1, 1, 1]);
  const ofTest = await read(await exportSession(store, { engineId: 'e1', testId: 't1', savedAt }));
  expect([ofTest.engines, ofTest.tests, ofTest.takes].map((list) => list.length)).toEqual([1, 1, 2]);
});
