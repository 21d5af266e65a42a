/** Shared documents: what is converted, and what deletions, merges and captures in progress mean on other devices. */
import { beforeEach, describe, expect, it } from 'vitest';
import { checkSession } from '../../worker/file/session/session-file.ts';
import { FULL } from '../support/full-session.ts';
import {
  createShareDevice,
  exchangeAll,
  libraryOf,
  type ShareDevice,
  updatesFor,
} from '../support/share-device.ts';
import {
  block,
  engineRecord,
  gap,
  photo,
  plugRecord,
  takeRecord,
  testRecord,
} from '../support/store-records.ts';

let a: ShareDevice;
let b: ShareDevice;

const finished = (id: string, testId: string, values: readonly number[] = [1, 900, 2]) => ({
  take: takeRecord(id, testId, { state: 'finished' }),
  trace: { ...block(0, values), gaps: [gap(0.01, 0.02)] },
});

beforeEach(async () => {
  [a, b] = [await createShareDevice(), await createShareDevice()];
  await a.store.addAll({
    engines: [engineRecord('e1'), engineRecord('e2'), engineRecord('s1', { origin: 'simulated' })],
    tests: [testRecord('t1', 'e1'), testRecord('t2', 'e2'), testRecord('st', 's1', { origin: 'simulated' })],
    takes: [finished('k1', 't1'), finished('k2', 't2', [-0, 1e-300, 5, 99_999])],
    plugs: [{ plug: plugRecord('p1', 'e1', { hasPhoto: true }), photo: photo(0xff, 0xd8, 0xff, 9) }],
  });
  await exchangeAll([a, b]);
});

const both = async () => {
  await exchangeAll([a, b]);
  expect(await libraryOf(b)).toEqual(await libraryOf(a));
};

describe('conversion', () => {
  it('gives the other device an equal library, hash by hash', async () => {
    expect(await libraryOf(b)).toEqual(await libraryOf(a));
    expect((await b.store.trace('k2')).pressureKpa).toEqual(Float64Array.of(-0, 1e-300, 5, 99_999));
  });

  it('carries every field that a session file can hold', async () => {
    const outcome = checkSession(JSON.parse(JSON.stringify(FULL)));
    if (!outcome.ok) throw new Error(outcome.problem.detail);
    const [from, to] = [await createShareDevice(), await createShareDevice()];
    await from.store.addAll(outcome.session);
    await exchangeAll([from, to]);
    expect((await to.store.takes('t1'))[0]?.source).toEqual(FULL.takes[0]!.source);
    expect(await libraryOf(to)).toEqual(await libraryOf(from));
  });

  it('leaves simulated engines on their device', async () => {
    expect(await b.store.engine('s1')).toBeUndefined();
    expect([...a.documents.digests().keys()].sort()).toEqual([
      'engine-e1',
      'engine-e2',
      'test-t1',
      'test-t2',
    ]);
  });

  it('shares a capture only once it is finished', async () => {
    await a.store.saveTake(takeRecord('k3', 't1'));
    await a.store.append('k3', 0, block(0, [1, 2]), []);
    await both();
    expect((await b.store.takes('t1')).map(({ id }) => id)).toEqual(['k1']);
    await a.store.saveTake(takeRecord('k3', 't1', { state: 'finished' }));
    await both();
    expect((await b.store.takes('t1')).map(({ id }) => id).sort()).toEqual(['k1', 'k3']);
    expect((await b.store.trace('k3')).pressureKpa).toEqual(Float64Array.of(1, 2));
  });

  it('keeps changes of different fields by two devices', async () => {
    await a.store.saveTest(testRecord('t1', 'e1', { note: 'from a' }));
    await b.store.saveTest(testRecord('t1', 'e1', { conditions: { ambientKpa: 97, ticked: ['fuel-off'] } }));
    await both();
    expect(await a.store.test('t1')).toMatchObject({ note: 'from a', conditions: { ambientKpa: 97 } });
  });
});

describe('deletion', () => {
  it.each(['together', 'after it was shared'])(
    'of a test is undone after its engine was merged, with later takes (%s)',
    async (when) => {
      const { undo } = await a.store.remove({ testId: 't1' });
      await a.store.saveTest(testRecord('t3', 'e1'));
      await a.store.mergeEngines(engineRecord('e2'), 'e1');
      if (when !== 'together') await both();
      await undo();
      await a.store.addAll({ engines: [], tests: [], takes: [finished('k3', 't1')] });
      await both();
      for (const { store } of [a, b]) {
        expect((await store.test('t1'))?.engineId).toBe('e2');
        expect((await store.takes('t1')).map(({ id }) => id).sort()).toEqual(['k1', 'k3']);
      }
    },
  );

  it('of a test is undone after its engine was removed: it comes back with the engine', async () => {
    const { undo } = await a.store.remove({ testId: 't1' });
    await both();
    await a.store.remove({ engineId: 'e1' });
    await both();
    await undo();
    await a.store.addAll({ engines: [], tests: [], takes: [finished('k3', 't1')] });
    await both();
    await b.documents.restore('engine-e1');
    await both();
    for (const { store } of [a, b])
      expect((await store.takes('t1')).map(({ id }) => id).sort()).toEqual(['k1', 'k3']);
  });

  it('is not undone by a change made elsewhere meanwhile', async () => {
    await a.store.remove({ testId: 't1' });
    await b.store.saveTest(testRecord('t1', 'e1', { note: 'edited' }));
    await b.store.addAll({ engines: [], tests: [], takes: [finished('k9', 't1')] });
    await both();
    expect(await b.store.test('t1')).toBeUndefined();
  });

  it('can be undone on the device, with the other one in step', async () => {
    const before = await libraryOf(a);
    const { undo } = await a.store.remove({ engineId: 'e1' });
    await both();
    expect(await b.store.engine('e1')).toBeUndefined();
    await undo();
    await both();
    expect(await libraryOf(b)).toEqual(before);
  });

  it('can be undone on the other device', async () => {
    const before = await libraryOf(a);
    await a.store.remove({ engineId: 'e1' });
    await both();
    expect(b.documents.removed().map(({ name }) => name)).toEqual(['engine-e1']);
    await b.documents.restore('engine-e1');
    await both();
    expect(await libraryOf(a)).toEqual(before);
  });

  it('of an engine keeps a test that another device made meanwhile, for the undo', async () => {
    const { undo } = await a.store.remove({ engineId: 'e1' });
    await b.store.addAll({ engines: [], tests: [testRecord('t3', 'e1')], takes: [finished('k3', 't3')] });
    await both();
    expect(await b.store.test('t3')).toBeUndefined();
    await undo();
    await both();
    expect((await a.store.tests('e1')).map(({ id }) => id).sort()).toEqual(['t1', 't3']);
  });

  it('waits for a capture in progress', async () => {
    await b.store.saveTake(takeRecord('k5', 't1'));
    await a.store.remove({ testId: 't1' });
    await a.documents.gather();
    const { deferred } = await b.documents.merge(await updatesFor(a, b));
    expect([...deferred]).toEqual(['test-t1']);
    expect(await b.store.test('t1')).toBeDefined();
    await b.store.saveTake(takeRecord('k5', 't1', { state: 'finished' }));
    await both();
    expect(await b.store.test('t1')).toBeUndefined();
  });

  it('of a plug is undone with its photo', async () => {
    const before = await libraryOf(a);
    const { undo } = await a.store.remove({ plugId: 'p1' });
    await both();
    expect(await b.store.plugs('e1')).toEqual([]);
    await undo();
    await both();
    expect(await libraryOf(b)).toEqual(before);
  });
});

describe('merged engines', () => {
  it('take a test along that another device made meanwhile', async () => {
    const merge = await a.store.mergeEngines(engineRecord('e2'), 'e1');
    await b.store.addAll({ engines: [], tests: [testRecord('t3', 'e1')], takes: [finished('k3', 't3')] });
    await both();
    expect((await b.store.tests('e2')).map(({ id }) => id).sort()).toEqual(['t1', 't2', 't3']);
    expect((await b.store.plugs('e2')).map(({ id }) => id)).toEqual(['p1']);
    await a.store.undoMerge(merge);
    await both();
    expect((await b.store.tests('e1')).map(({ id }) => id).sort()).toEqual(['t1', 't3']);
  });

  it('in both directions at once become one', async () => {
    await a.store.mergeEngines(engineRecord('e2'), 'e1');
    await b.store.mergeEngines(engineRecord('e1'), 'e2');
    await both();
    expect((await a.store.engines()).filter(({ origin }) => origin === 'measured')).toHaveLength(1);
    expect((await a.store.tests()).filter(({ origin }) => origin === 'measured')).toHaveLength(2);
  });

  // Which of two changes wins depends on the numbers of the writers.
  it.each([1, 2, 3, 4])(
    'or removed at the same time elsewhere, are the same everywhere (seed %i)',
    async (seed) => {
      const trio = await Promise.all([0, 1, 2].map((i) => createShareDevice(3 * seed + i)));
      const [first, second, third] = trio as [ShareDevice, ShareDevice, ShareDevice];
      for (const id of ['e1', 'e2']) await first.store.saveEngine(engineRecord(id));
      await exchangeAll(trio);
      await third.store.savePlug(plugRecord('p1', 'e1'));
      await first.store.saveTest(testRecord('t1', 'e1'));
      await first.documents.gather();
      await first.store.mergeEngines(engineRecord('e2'), 'e1');
      await first.documents.gather();
      await third.documents.merge(await updatesFor(first, third));
      await second.store.remove({ engineId: 'e1' });
      await exchangeAll(trio);
      for (const device of trio) expect(await libraryOf(device)).toEqual(await libraryOf(first));
    },
  );

  it('keep what was changed on the other device just before', async () => {
    await a.store.mergeEngines(engineRecord('e2'), 'e1');
    await a.documents.gather();
    await b.store.saveEngine(engineRecord('e2', { name: 'Renamed' }));
    await b.store.savePlug(plugRecord('p2', 'e2'));
    await b.documents.merge((await updatesFor(a, b)).filter(({ name }) => name === 'engine-e1'));
    await both();
    expect((await a.store.engine('e2'))?.name).toBe('Renamed');
    expect((await a.store.plugs('e2')).map(({ id }) => id).sort()).toEqual(['p1', 'p2']);
  });
});

describe('what arrives', () => {
  it('is refused when it is garbage, and the rest is merged', async () => {
    await a.store.saveEngine(engineRecord('e1', { name: 'Renamed' }));
    await a.documents.gather();
    const garbage = { name: 'engine-e2', update: Uint8Array.of(9, 200, 3, 1, 255) };
    const { refused } = await b.documents.merge([garbage, ...(await updatesFor(a, b))]);
    expect([...refused]).toEqual(['engine-e2']);
    expect((await b.store.engine('e1'))?.name).toBe('Renamed');
    expect(await b.store.engine('e2')).toBeDefined();
  });

  it('does not rewrite what is there already', async () => {
    const { documents, engines, tests } = await b.documents.merge(await updatesFor(a, b, true));
    expect([documents.size, engines.size, tests.size]).toEqual([0, 0, 0]);
  });
});
