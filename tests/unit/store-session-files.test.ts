import { describe, expect, test } from 'vitest';
import { fingerprintOf, storedFingerprint } from '../../src/store/fingerprint.ts';
import { StoreProblem, type TestStore } from '../../src/store/port.ts';
import { type ExportProgress, exportBackup, exportSession } from '../../src/store/session-export.ts';
import { type ImportProgress, importParts, importSession } from '../../src/store/session-import.ts';
import { readSessionParts } from '../../worker/file/session/entry-reader.ts';
import { parseSession, type Session } from '../../worker/file/session/session-file.ts';
import { block, engineRecord, gap, plugRecord, takeRecord, testRecord } from '../support/store-records.ts';
import { createTestStore } from '../support/test-store.ts';

const savedAt = '2026-05-03T08:00:00.000Z';

const jpeg = Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 7);

async function filled(): Promise<TestStore> {
  const store = createTestStore();
  await store.saveEngine(engineRecord('e1'));
  await store.saveEngine(engineRecord('e2'));
  await store.saveTest(testRecord('t1', 'e1'));
  await store.saveTest(testRecord('t2', 'e2'));
  for (const [id, testId] of [
    ['k1', 't1'],
    ['k2', 't1'],
    ['k3', 't2'],
  ] as const) {
    const pageHidden = [{ startS: 0.01, endS: 0.02 }];
    await store.saveTake(takeRecord(id, testId, { state: 'finished', pageHidden }));
    await store.append(id, 0, block(0, [1, 2, 3]), []);
    await store.append(id, 1, block(1, [4]), [gap(0.02, 1)]);
  }
  await store.savePlug(plugRecord('p1', 'e1'));
  await store.savePlug(plugRecord('p2', 'e2', { hasPhoto: true }), { type: 'image/jpeg', bytes: jpeg });
  return store;
}

async function backupOf(store: TestStore): Promise<Blob> {
  const file = await exportBackup(store, { savedAt });
  if (!file) throw new Error('There is nothing to back up');
  return file;
}

async function read(blob: Blob): Promise<Session> {
  const outcome = parseSession(await blob.text());
  if (!outcome.ok) throw new Error(outcome.problem.detail);
  return outcome.session;
}

test('a backup imported into an empty store is complete, and exports to the same file', async () => {
  const store = await filled();
  const progress: ExportProgress[] = [];
  const backup = await exportBackup(store, { savedAt, onProgress: (one) => progress.push(one) });
  expect(progress.map(({ done, all }) => `${done} of ${all}`)).toEqual(['1 of 2', '2 of 2']);
  expect(progress[0]!.bytes).toBeGreaterThan(0);
  expect(progress[1]!.bytes).toBeGreaterThan(progress[0]!.bytes);
  const other = createTestStore();
  expect(await importSession(other, await read(backup!))).toEqual({
    engines: 2,
    tests: 2,
    added: 9,
    alreadyThere: 0,
  });
  expect(await other.trace('k1')).toEqual(await store.trace('k1'));
  expect(await other.plugPhoto('p2')).toEqual({ type: 'image/jpeg', bytes: jpeg });
  expect(await (await backupOf(other)).text()).toBe(await backup!.text());
});

describe('a file longer than a string can be', () => {
  /** Read in parts of one take or plug each, from small pieces. */
  const inParts = (text: string) => () => {
    async function* pieces() {
      for (let at = 0; at < text.length; at += 100) yield text.slice(at, at + 100);
    }
    return readSessionParts(pieces(), { wholeLength: 200, partLength: 1 });
  };
  const ids = async (from: TestStore) => ({
    engines: (await from.engines()).map(({ id }) => id).sort(),
    tests: (await from.tests()).map(({ id }) => id).sort(),
  });

  test('is imported in parts after a check to its end', async () => {
    const store = await filled();
    const other = createTestStore();
    const progress: ImportProgress[] = [];
    const text = await (await backupOf(store)).text();
    const outcome = await importParts(other, inParts(text), (one) => progress.push(one));
    expect(outcome).toEqual({
      state: 'brought',
      imported: { engines: 2, tests: 2, added: 9, alreadyThere: 0 },
    });
    expect(await ids(other)).toEqual(await ids(store));
    for (const id of ['k1', 'k2', 'k3']) expect(await other.trace(id)).toEqual(await store.trace(id));
    expect(await other.plugPhoto('p2')).toEqual(await store.plugPhoto('p2'));
    const states = progress.map(({ state }) => state);
    expect(states.lastIndexOf('checking')).toBeLessThan(states.indexOf('adding'));
    expect(progress.at(-1)).toEqual({ state: 'adding', added: 9 });
  });

  test('adds nothing when imported again, and keeps later changes beside it', async () => {
    const store = await filled();
    const text = await (await backupOf(store)).text();
    const bringIn = () => importParts(store, inParts(text), () => undefined);
    const nothing = { state: 'brought', imported: { engines: 0, tests: 0, added: 0, alreadyThere: 9 } };
    expect(await bringIn()).toEqual(nothing);
    await store.saveEngine(engineRecord('e1', { name: 'Renamed' }));
    expect(await bringIn()).toEqual({
      state: 'brought',
      imported: { engines: 1, tests: 1, added: 5, alreadyThere: 4 },
    });
    expect(await bringIn()).toEqual(nothing);
    expect(await store.trace('k1-2')).toEqual(await store.trace('k1'));
  });

  test('adds nothing when damaged near its end', async () => {
    const text = await (await backupOf(await filled())).text();
    const other = createTestStore();
    const outcome = await importParts(other, inParts(text.slice(0, -5)), () => undefined);
    expect(outcome).toMatchObject({ state: 'unread', problem: { code: 'not-ours' } });
    expect(await ids(other)).toEqual({ engines: [], tests: [] });
  });

  test('continues where the store refused midway', async () => {
    const store = await filled();
    const text = await (await backupOf(store)).text();
    const other = createTestStore();
    const { addAll } = other;
    let left = 3;
    other.addAll = (branch) => {
      if (left-- === 0) return Promise.reject(new StoreProblem('full', 'The browser gives no more room.'));
      return addAll(branch);
    };
    await expect(importParts(other, inParts(text), () => undefined)).rejects.toMatchObject({ code: 'full' });
    const { engines } = await ids(other);
    expect(engines).toEqual(['e1', 'e2']);
    const outcome = await importParts(other, inParts(text), () => undefined);
    expect(outcome).toMatchObject({ imported: { engines: 0, tests: 0, added: 3, alreadyThere: 6 } });
    expect(await ids(other)).toEqual(await ids(store));
  });
});

test('an engine with nothing under it is backed up too', async () => {
  const store = createTestStore();
  await store.saveEngine(engineRecord('e1'));
  expect((await read(await backupOf(store))).engines.map(({ id }) => id)).toEqual(['e1']);
});

test('an empty store has no backup', async () => {
  expect(await exportBackup(createTestStore(), { savedAt })).toBeNull();
});

test('a backup imported again adds nothing', async () => {
  const store = await filled();
  const session = await read(await backupOf(store));
  expect(await importSession(store, session)).toEqual({ engines: 0, tests: 0, added: 0, alreadyThere: 9 });
  expect(await store.tests()).toHaveLength(2);
});

test('later changes stay, and the old state is added beside them, once', async () => {
  const store = await filled();
  const session = await read(await backupOf(store));
  await store.saveEngine(engineRecord('e1', { name: 'Renamed' }));
  expect(await importSession(store, session)).toEqual({ engines: 1, tests: 1, added: 5, alreadyThere: 4 });
  expect(await importSession(store, session)).toEqual({ engines: 0, tests: 0, added: 0, alreadyThere: 9 });
  expect((await store.engines()).map(({ id, name }) => [id, name])).toEqual([
    ['e1', 'Renamed'],
    ['e1-2', 'Engine e1'],
    ['e2', 'Engine e2'],
  ]);
  expect(await store.trace('k1-2')).toEqual(await store.trace('k1'));
  expect((await store.plugs('e1-2')).map(({ id }) => id)).toEqual(['p1-2']);
});

test('the fingerprint of a test is the same in its file and after import', async () => {
  const store = await filled();
  const stored = async (id: string) =>
    storedFingerprint(store, (await store.test(id))!, await store.takes(id));
  const here = await stored('t1');
  const session = await read(await exportSession(store, { engineId: 'e1', testId: 't1', savedAt }));
  expect(await fingerprintOf(session.tests[0]!, session.takes)).toBe(here);
  await store.saveEngine(engineRecord('e1', { name: 'Renamed' }));
  await importSession(store, session);
  expect(await stored('t1-2')).toBe(here);
  expect(here).not.toBe(await stored('t2'));
});

test('one engine, or one of its tests, is exported without the others', async () => {
  const store = await filled();
  const ofEngine = await read(await exportSession(store, { engineId: 'e2', savedAt }));
  expect(
    [ofEngine.engines, ofEngine.tests, ofEngine.takes, ofEngine.plugs].map((list) => list.length),
  ).toEqual([1, 1, 1, 1]);
  const ofTest = await read(await exportSession(store, { engineId: 'e1', testId: 't1', savedAt }));
  expect([ofTest.engines, ofTest.tests, ofTest.takes].map((list) => list.length)).toEqual([1, 1, 2]);
});
