import { describe, expect, it, test } from 'vitest';
import { cardDifferences, mergedCard } from '../../src/screens/engine/merge-form.ts';
import { mayMerge } from '../../src/store/merge-engines.ts';
import type { EngineRecord } from '../../worker/file/records.ts';
import { captureWorld } from '../support/capture-world.ts';
import { engineRecord, plugRecord, takeRecord, testRecord } from '../support/store-records.ts';
import { createTestStore } from '../support/test-store.ts';

const kept = engineRecord('e1', { name: 'Estate', odometerKm: 1000 });
const other = engineRecord('e2', {
  name: 'Estate ',
  origin: 'recording',
  facts: { ...kept.facts, manual: { minKpa: 950 }, geometry: { boreMm: 84 } },
  odometerKm: 2000,
  plugInterval: { km: 60_000 },
});

/** Kept engine with test t1; other one with t2, a take and a plug. */
async function filled() {
  const store = createTestStore();
  await store.saveEngine(kept);
  await store.saveEngine(other);
  await store.saveTest(testRecord('t1', 'e1'));
  await store.saveTest(testRecord('t2', 'e2', { takenOn: '2025-04-30', takenFrom: 'hand' }));
  await store.saveTake(takeRecord('k1', 't2', { state: 'finished' }));
  await store.savePlug(plugRecord('p1', 'e2'));
  const state = async () => ({
    engines: await store.engines(),
    tests: await store.tests(),
    takes: await store.takes('t2'),
    plugs: [...(await store.plugs('e1')), ...(await store.plugs('e2'))],
  });
  return { store, state };
}

describe('a store', () => {
  it('moves tests and plugs to the engine that is kept, and puts all of it back', async () => {
    const { store, state } = await filled();
    const before = await state();
    const card = { ...kept, name: 'Grey estate' };
    const merge = await store.mergeEngines(card, 'e2');
    expect(await store.engines()).toEqual([card]);
    expect((await store.tests('e1')).map(({ id }) => id)).toEqual(['t1', 't2']);
    expect((await store.plugs('e1')).map(({ id }) => id)).toEqual(['p1']);
    expect(await store.takes('t2')).toEqual(before.takes);
    await store.undoMerge(merge);
    expect(await state()).toEqual(before);
  });

  it('puts back nothing that was changed or removed since', async () => {
    const { store } = await filled();
    const merge = await store.mergeEngines({ ...kept, name: 'Grey estate' }, 'e2');
    await store.saveEngine({ ...kept, name: 'Grey estate, sold' });
    await store.remove({ testId: 't2' });
    await store.saveTest(testRecord('t3', 'e1'));
    await store.undoMerge(merge);
    expect((await store.engines()).map(({ name }) => name)).toEqual(['Grey estate, sold', 'Estate ']);
    expect((await store.tests('e1')).map(({ id }) => id)).toEqual(['t1', 't3']);
    expect(await store.tests('e2')).toEqual([]);
  });

  it('merges nothing when one of the engines is gone, and undoes a merge only once', async () => {
    const { store, state } = await filled();
    const before = await state();
    await expect(store.mergeEngines(kept, 'e9')).rejects.toMatchObject({ code: 'missing' });
    await expect(store.mergeEngines({ ...kept, id: 'e9' }, 'e2')).rejects.toMatchObject({ code: 'missing' });
    expect(await state()).toEqual(before);
    const merge = await store.mergeEngines(kept, 'e2');
    await store.undoMerge(merge);
    await expect(store.undoMerge(merge)).rejects.toMatchObject({ code: 'unexpected' });
    expect(await state()).toEqual(before);
  });

  it.each(['simulated', 'example'] as const)('never merges a real engine with a %s one', async (origin) => {
    const { store, state } = await filled();
    await store.saveEngine({ ...other, origin });
    const before = await state();
    await expect(store.mergeEngines(kept, 'e2')).rejects.toMatchObject({ code: 'unexpected' });
    await expect(store.mergeEngines({ ...other, origin }, 'e1')).rejects.toMatchObject({
      code: 'unexpected',
    });
    expect(await state()).toEqual(before);
  });
});

it('a library keeps the undo of a merge for later visits', async () => {
  const world = await captureWorld();
  const engine = { ...other, id: 'other' };
  await world.store.saveEngine(engine);
  const [first] = await world.store.engines();
  await world.library.mergeEngines(first!, engine.id);
  expect(await world.store.engines()).toHaveLength(1);
  const later = world.libraryOfNextVisit();
  const [merge] = later.merges(first!.id);
  expect(merge).toMatchObject({ gone: { id: 'other', name: 'Estate ' } });
  await later.undoMerge(merge!);
  expect(await world.store.engines()).toHaveLength(2);
  expect(world.libraryOfNextVisit().merges(first!.id)).toEqual([]);
});

describe('two cards', () => {
  const keys = (a: EngineRecord, b: EngineRecord) => cardDifferences(a, b).map(({ key }) => key);

  test('differ in the figures that both have', () => {
    expect(keys(kept, kept)).toEqual([]);
    expect(keys(kept, other)).toEqual(['minKpa', 'odometerKm']);
    const diesel = { ...kept, facts: { ...kept.facts, fuel: 'diesel', cycle: 2 } } as const;
    expect(keys(kept, { ...diesel, name: 'Van' })).toEqual(['name', 'cycle', 'fuel']);
  });

  test('become one: chosen figures, and those that only one has', () => {
    const card = mergedCard(kept, other, { minKpa: 'other' });
    expect(card).toMatchObject({ id: 'e1', name: 'Estate', odometerKm: 1000, plugInterval: { km: 60_000 } });
    expect(card.facts).toMatchObject({ manual: { minKpa: 950 }, geometry: { boreMm: 84 } });
    expect(card.origin).toBe('measured');
  });

  test('keep registration and customer of either, and differ in them', () => {
    const first = { ...kept, identity: { registration: 'AB 1', customer: 'Somebody' } };
    const second = { ...kept, id: 'e2', identity: { registration: 'AB 2', make: 'Own' } };
    expect(keys(first, second)).toEqual(['registration']);
    expect(mergedCard(first, second, { registration: 'other' }).identity).toEqual({
      make: 'Own',
      registration: 'AB 2',
      customer: 'Somebody',
    });
    expect(mergedCard(kept, kept, {})).not.toHaveProperty('identity');
  });

  test('may be merged when both are real, or both simulated', () => {
    const of = (origin: EngineRecord['origin']) => engineRecord(origin, { origin });
    expect(mayMerge(of('measured'), of('recording'))).toBe(true);
    expect(mayMerge(of('simulated'), { ...of('simulated'), id: 's2' })).toBe(true);
    expect(mayMerge(of('measured'), of('measured'))).toBe(false);
    for (const [a, b] of [
      ['measured', 'simulated'],
      ['simulated', 'recording'],
      ['example', 'measured'],
      ['example', 'simulated'],
    ] as const)
      expect(mayMerge(of(a), of(b))).toBe(false);
    expect(mayMerge(of('example'), { ...of('example'), id: 'x2' })).toBe(false);
  });
});
