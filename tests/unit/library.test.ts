import { describe, expect, it } from 'vitest';
import { createAnalyst } from '../../src/analysis/analyst.ts';
import { createPageHost } from '../../src/analysis/page-host.ts';
import { ambientKpa } from '../../src/analysis/reading-options.ts';
import { createRecovery } from '../../src/capture/recovery.ts';
import { takeLock } from '../../src/capture/take-lock.ts';
import { isAfterSetBack } from '../../src/library/take-order.ts';
import { createAnalysis } from '../../worker/analysis.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import {
  armedWorld,
  captureWorld,
  crankTrace,
  dryPlan,
  handLocks,
  testEngine,
  testRecord,
} from '../support/capture-world.ts';
import { takeRecord } from '../support/store-records.ts';
import { createTestStore, settle } from '../support/test-store.ts';

async function loaded(world: Awaited<ReturnType<typeof captureWorld>>) {
  const resource = world.library.test('test');
  await settle();
  if (resource.value.state !== 'ready') throw new Error(`The test is ${resource.value.state}`);
  return resource.value.value;
}

describe('library', () => {
  it('counts the newest finished take of each cylinder and condition, and shows the others', async () => {
    const world = await captureWorld();
    const first = await world.library.addTyped(testRecord, 1, 'dry', { strokesKpa: [], finalKpa: 900 });
    world.clock.pass(1000);
    const second = await world.library.addTyped(testRecord, 1, 'dry', { strokesKpa: [], finalKpa: 1000 });
    world.clock.pass(1000);
    const wet = await world.library.addTyped(testRecord, 1, 'wet', { strokesKpa: [], finalKpa: 1100 });
    const test = await loaded(world);
    expect(test.takes.map(({ take }) => take.id)).toEqual([first.id, second.id, wet.id]);
    expect(test.counting.dry.get(1)?.reading.finalKpa).toBe(1000);
    expect(test.counting.wet.get(1)?.reading.finalKpa).toBe(1100);
  });

  it('counts a retake after the clock was set back, with a remark', async () => {
    const world = await captureWorld();
    await world.library.addTyped(testRecord, 1, 'dry', { strokesKpa: [], finalKpa: 1000 });
    expect((await loaded(world)).takes.some(({ take }) => isAfterSetBack(take))).toBe(false);
    world.clock.setBack(86_400_000);
    await world.library.addTyped(testRecord, 1, 'dry', { strokesKpa: [], finalKpa: 600 });
    const test = await loaded(world);
    expect(test.takes.map(({ reading }) => reading.finalKpa)).toEqual([1000, 600]);
    expect(test.counting.dry.get(1)?.reading.finalKpa).toBe(600);
    expect(test.takes.map(({ take }) => isAfterSetBack(take))).toEqual([false, true]);
  });

  it('counts a retake of a test that came from a device whose clock was ahead', async () => {
    const world = await captureWorld();
    const startedAt = '2031-01-01T10:00:00.000Z';
    const ahead = { state: 'finished', typed: { strokesKpa: [], finalKpa: 1000 }, startedAt } as const;
    await world.store.saveTake(takeRecord('ahead', testRecord.id, ahead));
    await loaded(world);
    await world.library.addTyped(testRecord, 1, 'dry', { strokesKpa: [], finalKpa: 600 });
    expect((await loaded(world)).counting.dry.get(1)?.reading.finalKpa).toBe(600);
  });

  it('computes again when a take is set aside, and counts the previous one', async () => {
    const world = await captureWorld();
    await world.library.addTyped(testRecord, 1, 'dry', { strokesKpa: [], finalKpa: 900 });
    world.clock.pass(1000);
    const second = await world.library.addTyped(testRecord, 1, 'dry', { strokesKpa: [], finalKpa: 1000 });
    await loaded(world);
    await world.library.setTakeState(second, 'set-aside');
    expect((await loaded(world)).counting.dry.get(1)?.reading.finalKpa).toBe(900);
  });

  it('judges by the rule of the test, and again when that changes', async () => {
    const world = await captureWorld();
    for (const [cylinder, finalKpa] of [1200, 1190, 1180, 700].entries()) {
      await world.library.addTyped(testRecord, cylinder + 1, 'dry', { strokesKpa: [], finalKpa });
    }
    expect((await loaded(world)).judgement).toMatchObject({ rule: 'percent-of-highest', verdict: 'fault' });
    await world.library.saveTest({ ...testRecord, rule: { code: 'below-mean' } });
    expect((await loaded(world)).judgement.rule).toBe('below-mean');
  });

  it('bases no verdict on oil in a diesel', async () => {
    const world = await captureWorld();
    const finals: readonly (readonly [number, 'dry' | 'wet', number])[] = [
      [1, 'dry', 1200],
      [2, 'dry', 700],
      [2, 'wet', 1150],
    ];
    for (const [cylinder, condition, finalKpa] of finals) {
      await world.library.addTyped(testRecord, cylinder, condition, { strokesKpa: [], finalKpa });
    }
    const codes = async () =>
      (await loaded(world)).judgement.suspects.flatMap(({ evidence }) => evidence.map(({ code }) => code));
    expect(await codes()).toContain('wet-rise');
    await world.library.saveEngine({ ...testEngine, facts: { ...testEngine.facts, fuel: 'diesel' } });
    expect((await loaded(world)).counting.wet.size).toBe(1);
    expect(await codes()).not.toContain('wet-rise');
  });

  it('removes a test, updates lists of tests, and restores it unchanged', async () => {
    const world = await captureWorld();
    await world.library.addTyped(testRecord, 1, 'dry', { strokesKpa: [], finalKpa: 900 });
    const before = await loaded(world);
    const listed = world.library.revision.value;
    const { undo } = await world.library.remove({ testId: 'test' });
    await settle();
    expect(world.library.test('test').value).toMatchObject({ state: 'failed', problem: { code: 'missing' } });
    expect(world.library.revision.value).toBe(listed + 1);
    await undo();
    expect(await loaded(world)).toEqual(before);
    expect(world.library.revision.value).toBe(listed + 2);
  });

  it('stores a recording as a take whose reading is that of its samples', async () => {
    const world = await captureWorld();
    const trace = crankTrace();
    const take = await world.library.addRecorded(testRecord, 2, 'dry', {
      fileName: 'c2.csv',
      header: { geometry: {}, manual: {} },
      trace,
    });
    expect(take).toMatchObject({ origin: 'recording', source: { kind: 'replay', name: 'c2.csv' } });
    const test = await loaded(world);
    expect(test.counting.dry.get(2)?.reading.finalKpa).toBe(
      readTrace(trace, { cycle: 4, fuel: 'spark' }).finalKpa,
    );
    expect((await world.library.trace(take.id)).timeS.length).toBe(trace.timeS.length);
  });

  it('loses no tick in quick succession on a slow disk', async () => {
    const store = createTestStore();
    const world = await captureWorld({ store });
    const resource = world.library.test('test');
    await settle();
    const { saveTest } = store;
    store.saveTest = async (test) => {
      await settle();
      await saveTest.call(store, test);
    };
    // Each call builds on the list shown at that moment, as the screen does.
    const tick = (code: string) => {
      const { test } = resource.value.state === 'failed' ? { test: testRecord } : resource.value.value!;
      const ticked = [...test.conditions.ticked, code];
      return world.library.saveTest({ ...test, conditions: { ...test.conditions, ticked } });
    };
    const first = tick('fuel-off');
    await Promise.resolve();
    await Promise.all([first, tick('no-gear')]);
    expect((await loaded(world)).test.conditions.ticked).toEqual(
      expect.arrayContaining(['fuel-off', 'no-gear']),
    );
  });

  it('reports a missing test', async () => {
    const world = await captureWorld();
    const resource = world.library.test('nowhere');
    await settle();
    expect(resource.value).toMatchObject({ state: 'failed', problem: { code: 'missing' } });
  });
});

describe('takes that a crash left open', () => {
  const crash = async () => {
    const locks = handLocks();
    const world = await armedWorld(dryPlan(1, 2), { locks });
    await world.play(crankTrace());
    const recovery = (over = handLocks()) =>
      createRecovery({
        store: world.store,
        analyst: createAnalyst(createPageHost(createAnalysis())),
        locks: over,
        takesChanged: world.library.takesChanged,
        onTrouble: (problem) => {
          throw problem;
        },
      });
    const [take] = await world.store.unfinished();
    return { world, locks, recovery, take: take! };
  };

  it('are read and offered, and kept on request', async () => {
    const { world, recovery, take } = await crash();
    const after = recovery();
    await after.look();
    expect(after.unfinished.value).toHaveLength(1);
    const [offered] = after.unfinished.value;
    expect(offered!.take.id).toBe(take.id);
    expect(offered!.durationS).toBeGreaterThan(4);
    expect(offered!.reading.strokes.length).toBeGreaterThan(3);
    after.keep(take.id);
    await settle();
    expect(after.unfinished.value).toEqual([]);
    expect((await world.store.takes('test'))[0]!.state).toBe('finished');
  });

  it('are set aside when declined; their samples stay', async () => {
    const { world, recovery, take } = await crash();
    const after = recovery();
    await after.look();
    after.setAside(take.id);
    await settle();
    expect((await world.store.takes('test'))[0]!.state).toBe('set-aside');
    expect((await world.store.trace(take.id)).timeS.length).toBeGreaterThan(500);
  });

  it('are not offered while another tab is still writing them', async () => {
    const { locks, recovery, take } = await crash();
    expect(await locks.isHeld(takeLock(take.id))).toBe(true);
    const other = recovery(locks);
    await other.look();
    expect(other.unfinished.value).toEqual([]);
  });
});

describe('ambient pressure', () => {
  // ISO 2533:1975, table of the standard atmosphere: 1000 m 89.875 kPa, 2000 m 79.495 kPa (recalled).
  it.each([
    [0, 101.325],
    [1000, 89.875],
    [2000, 79.495],
  ])('at %d m is %d kPa', (altitudeM, kpa) => {
    expect(ambientKpa({ altitudeM, ticked: [] })).toBeCloseTo(kpa, 2);
  });

  it('is the measured one where given, and unknown without measurement and altitude', () => {
    expect(ambientKpa({ ambientKpa: 97, altitudeM: 2000, ticked: [] })).toBe(97);
    expect(ambientKpa({ ticked: [] })).toBeUndefined();
  });
});
