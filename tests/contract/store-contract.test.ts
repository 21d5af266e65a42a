/** Requirements of any `TestStore`, and the upgrade of an older database. */
import { openDB } from 'idb';
import { describe, expect, test } from 'vitest';
import { createIdbStore } from '../../src/store/idb-store.ts';
import { StoreProblem, type StoreProblemCode, type TestStore } from '../../src/store/port.ts';
import {
  block,
  engineRecord,
  gap,
  photo,
  plugRecord,
  takeRecord,
  testRecord,
} from '../support/store-records.ts';
import { createTestStore } from '../support/test-store.ts';

async function expectProblem(asked: Promise<unknown>, code: StoreProblemCode): Promise<void> {
  const problem = await asked.then(
    () => 'nothing went wrong',
    (cause: unknown) => cause,
  );
  expect(problem).toBeInstanceOf(StoreProblem);
  expect(problem).toMatchObject({ code });
}

/** Engine e1 with test t1 (takes k1 with samples, k2 typed) and t2; engine e2 with t3. */
async function filled(store: TestStore): Promise<void> {
  await store.saveEngine(engineRecord('e1'));
  await store.saveEngine(engineRecord('e2'));
  await store.saveTest(testRecord('t1', 'e1'));
  await store.saveTest(testRecord('t2', 'e1'));
  await store.saveTest(testRecord('t3', 'e2'));
  await store.saveTake(takeRecord('k1', 't1', { state: 'finished' }));
  await store.saveTake(takeRecord('k2', 't1', { state: 'finished', typed: { strokesKpa: [800, 900] } }));
  await store.append('k1', 0, block(0, [1, 2, 3]), []);
  await store.append('k1', 1, block(0.5, [4]), [gap(0.02, 0.5)]);
}

describe('a store in IndexedDB', () => {
  test('starts empty', async () => {
    const store = createTestStore();
    expect(await store.engines()).toEqual([]);
    expect(await store.tests()).toEqual([]);
    expect(await store.counts()).toEqual({ engines: 0, tests: 0 });
    expect(await store.takes('t1')).toEqual([]);
    expect(await store.unfinished()).toEqual([]);
    expect((await store.trace('k1')).timeS).toHaveLength(0);
  });

  test('returns saved records by engine and by test', async () => {
    const store = createTestStore();
    await filled(store);
    expect(await store.engines()).toEqual([engineRecord('e1'), engineRecord('e2')]);
    expect((await store.tests()).map(({ id }) => id)).toEqual(['t1', 't2', 't3']);
    expect((await store.tests('e1')).map(({ id }) => id)).toEqual(['t1', 't2']);
    expect(await store.counts()).toEqual({ engines: 2, tests: 3 });
    expect((await store.takes('t1')).map(({ id }) => id)).toEqual(['k1', 'k2']);
    expect(await store.takes('t2')).toEqual([]);
  });

  test('finds an engine and a test by id, and `undefined` when there is none', async () => {
    const store = createTestStore();
    await filled(store);
    expect(await store.engine('e2')).toEqual(engineRecord('e2'));
    expect(await store.test('t3')).toEqual(testRecord('t3', 'e2'));
    expect(await store.engine('t3')).toBeUndefined();
    expect(await store.test('e2')).toBeUndefined();
  });

  test('saving again replaces the record and nothing else', async () => {
    const store = createTestStore();
    await filled(store);
    await store.saveEngine(engineRecord('e1', { name: 'New name' }));
    await store.saveTake(takeRecord('k1', 't1', { state: 'set-aside' }));
    expect((await store.engines()).map(({ name }) => name)).toEqual(['New name', 'Engine e2']);
    expect((await store.takes('t1')).map(({ state }) => state)).toEqual(['set-aside', 'finished']);
    expect((await store.trace('k1')).timeS).toHaveLength(4);
  });

  test('joins the chunks of a take in order, with their gaps', async () => {
    const store = createTestStore();
    await store.saveTake(takeRecord('k', 't'));
    for (let i = 0; i < 12; i++)
      await store.append('k', i, block(i, [i, i + 0.5]), i === 7 ? [gap(6.01, 7)] : []);
    const trace = await store.trace('k');
    expect([...trace.pressureKpa]).toEqual(Array.from({ length: 24 }, (_, i) => i / 2));
    expect([...trace.timeS]).toEqual([...trace.timeS].sort((a, b) => a - b));
    expect(trace.gaps).toEqual([gap(6.01, 7)]);
  });

  test('keeps a copy: later changes to the caller’s arrays have no effect', async () => {
    const store = createTestStore();
    await store.saveTake(takeRecord('k', 't'));
    const large = new Float64Array(10_000).fill(7);
    const view = { timeS: large.subarray(0, 1), pressureKpa: large.subarray(1, 2) };
    const appended = store.append('k', 0, view, []);
    large.fill(0);
    await appended;
    const trace = await store.trace('k');
    expect([...trace.timeS, ...trace.pressureKpa]).toEqual([7, 7]);
    expect(trace.timeS.buffer.byteLength).toBe(8);
    trace.pressureKpa[0] = 1;
    expect((await store.trace('k')).pressureKpa[0]).toBe(7);
  });

  test('appending never overwrites, skips or starts in the middle', async () => {
    const store = createTestStore();
    await store.saveTake(takeRecord('k', 't'));
    await store.append('k', 0, block(0, [1]), []);
    await expectProblem(store.append('k', 0, block(0, [2]), []), 'unexpected');
    await expectProblem(store.append('k', 2, block(2, [3]), []), 'unexpected');
    await expectProblem(store.append('unknown', 0, block(0, [1]), []), 'missing');
    expect([...(await store.trace('k')).pressureKpa]).toEqual([1]);
  });

  test('appending the same chunk again has no effect', async () => {
    const store = createTestStore();
    await store.saveTake(takeRecord('k', 't'));
    await store.append('k', 0, block(0, [1]), []);
    await store.append('k', 0, block(0, [1]), []);
    await store.append('k', 1, block(1, [2]), []);
    expect([...(await store.trace('k')).pressureKpa]).toEqual([1, 2]);
  });

  test('lists the takes that were left open', async () => {
    const store = createTestStore();
    await filled(store);
    await store.saveTake(takeRecord('cut-off', 't2'));
    await store.append('cut-off', 0, block(0, [5, 6]), []);
    expect((await store.unfinished()).map(({ id }) => id)).toEqual(['cut-off']);
    expect([...(await store.trace('cut-off')).pressureKpa]).toEqual([5, 6]);
    await store.saveTake(takeRecord('cut-off', 't2', { state: 'finished' }));
    expect(await store.unfinished()).toEqual([]);
  });

  test('removes an engine with everything below it, and undo restores all of it', async () => {
    const store = createTestStore();
    await filled(store);
    const before = await store.trace('k1');
    const { undo } = await store.remove({ engineId: 'e1' });
    expect((await store.engines()).map(({ id }) => id)).toEqual(['e2']);
    expect((await store.tests()).map(({ id }) => id)).toEqual(['t3']);
    expect(await store.takes('t1')).toEqual([]);
    expect((await store.trace('k1')).timeS).toHaveLength(0);
    await undo();
    await undo();
    expect((await store.engines()).map(({ id }) => id).sort()).toEqual(['e1', 'e2']);
    expect((await store.tests('e1')).map(({ id }) => id)).toEqual(['t1', 't2']);
    expect(await store.counts()).toEqual({ engines: 2, tests: 3 });
    expect((await store.takes('t1'))[1]?.typed).toEqual({ strokesKpa: [800, 900] });
    expect(await store.trace('k1')).toEqual(before);
  });

  test('removes one test, and leaves its engine and the others', async () => {
    const store = createTestStore();
    await filled(store);
    const { undo } = await store.remove({ testId: 't1' });
    expect((await store.tests('e1')).map(({ id }) => id)).toEqual(['t2']);
    expect(await store.engines()).toHaveLength(2);
    await undo();
    expect((await store.tests('e1')).map(({ id }) => id).sort()).toEqual(['t1', 't2']);
  });

  test('stores plug inspections by engine, each with its picture', async () => {
    const store = createTestStore();
    await filled(store);
    await store.savePlug(plugRecord('p1', 'e1', { hasPhoto: true }), photo(1, 2, 3));
    await store.savePlug(plugRecord('p2', 'e1', { cylinder: 2, signs: ['oily', 'gap-wide'] }));
    await store.savePlug(plugRecord('p3', 'e2'));
    expect((await store.plugs('e1')).map(({ id }) => id)).toEqual(['p1', 'p2']);
    expect((await store.plugs('e1'))[1]?.signs).toEqual(['oily', 'gap-wide']);
    expect(await store.plugPhoto('p1')).toEqual(photo(1, 2, 3));
    expect(await store.plugPhoto('p2')).toBeUndefined();
    expect(await store.plugs('unknown')).toEqual([]);
  });

  test('saving an inspection again replaces it; without a picture the old one is removed', async () => {
    const store = createTestStore();
    await store.savePlug(plugRecord('p1', 'e1', { hasPhoto: true }), photo(1));
    await store.savePlug(plugRecord('p1', 'e1', { replaced: true }));
    expect((await store.plugs('e1')).map(({ replaced }) => replaced)).toEqual([true]);
    expect(await store.plugPhoto('p1')).toBeUndefined();
  });

  test('removes plug inspections with their engine, or one alone, and restores them', async () => {
    const store = createTestStore();
    await filled(store);
    await store.savePlug(plugRecord('p1', 'e1', { hasPhoto: true }), photo(7, 8));
    await store.savePlug(plugRecord('p2', 'e1'));
    await store.savePlug(plugRecord('p3', 'e2'));
    const one = await store.remove({ plugId: 'p2' });
    expect((await store.plugs('e1')).map(({ id }) => id)).toEqual(['p1']);
    expect(await store.tests('e1')).toHaveLength(2);
    await one.undo();
    const all = await store.remove({ engineId: 'e1' });
    expect(await store.plugs('e1')).toEqual([]);
    expect(await store.plugPhoto('p1')).toBeUndefined();
    expect((await store.plugs('e2')).map(({ id }) => id)).toEqual(['p3']);
    await all.undo();
    expect((await store.plugs('e1')).map(({ id }) => id).sort()).toEqual(['p1', 'p2']);
    expect(await store.plugPhoto('p1')).toEqual(photo(7, 8));
    await expectProblem(store.remove({ plugId: 'nothing' }), 'missing');
  });

  test('adds a branch with its plugs, and nothing when an id is taken', async () => {
    const store = createTestStore();
    await store.savePlug(plugRecord('p1', 'e1'));
    const plug = plugRecord('p9', 'e9', { hasPhoto: true });
    const empty = { engines: [], tests: [], takes: [] };
    await store.addAll({ ...empty, engines: [engineRecord('e9')], plugs: [{ plug, photo: photo(5) }] });
    expect(await store.plugs('e9')).toEqual([plug]);
    expect(await store.plugPhoto('p9')).toEqual(photo(5));
    const taken = [{ plug: plugRecord('p10', 'e9') }, { plug: plugRecord('p1', 'e9') }];
    await expectProblem(store.addAll({ ...empty, plugs: taken }), 'unexpected');
    expect((await store.plugs('e9')).map(({ id }) => id)).toEqual(['p9']);
  });

  test('reports when there is nothing to remove', async () => {
    const store = createTestStore();
    await expectProblem(store.remove({ engineId: 'unknown' }), 'missing');
    await expectProblem(store.remove({ testId: 'nothing' }), 'missing');
  });

  test('undo does not overwrite a newer record with the same id', async () => {
    const store = createTestStore();
    await filled(store);
    const { undo } = await store.remove({ testId: 't3' });
    await store.saveTest(testRecord('t3', 'e2', { note: 'written since' }));
    await expectProblem(undo(), 'unexpected');
    expect((await store.tests('e2')).map(({ note }) => note)).toEqual(['written since']);
  });

  test('adds a branch completely or not at all', async () => {
    const store = createTestStore();
    await filled(store);
    const trace = { ...block(0, [1, 2]), gaps: [gap(0, 0.01)] };
    await store.addAll({
      engines: [engineRecord('e9')],
      tests: [testRecord('t9', 'e9')],
      takes: [{ take: takeRecord('k9', 't9', { state: 'finished' }), trace }],
    });
    expect(await store.trace('k9')).toEqual(trace);
    await expectProblem(
      store.addAll({
        engines: [engineRecord('e10')],
        tests: [testRecord('t10', 'e10')],
        takes: [{ take: takeRecord('k1', 't10'), trace }],
      }),
      'unexpected',
    );
    expect((await store.engines()).map(({ id }) => id).sort()).toEqual(['e1', 'e2', 'e9']);
    expect((await store.tests()).map(({ id }) => id).sort()).toEqual(['t1', 't2', 't3', 't9']);
    expect(await store.takes('t10')).toEqual([]);
  });
});

test('upgrades a store of the first version without losing records', async () => {
  const name = 'contract-first-version';
  const old = await openDB(name, 1, {
    upgrade(db) {
      db.createObjectStore('engines', { keyPath: 'id' });
      db.createObjectStore('tests', { keyPath: 'id' }).createIndex('engineId', 'engineId');
      const takes = db.createObjectStore('takes', { keyPath: 'id' });
      takes.createIndex('testId', 'testId');
      takes.createIndex('state', 'state');
      db.createObjectStore('chunks', { keyPath: ['takeId', 'index'] });
    },
  });
  await old.put('engines', engineRecord('e1'));
  old.close();
  const store = createIdbStore(name);
  expect((await store.engines()).map(({ id }) => id)).toEqual(['e1']);
  await store.savePlug(plugRecord('p1', 'e1'));
  expect(await store.plugs('e1')).toHaveLength(1);
});
