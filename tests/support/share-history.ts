/** Random histories of several devices that share a library, for property tests and the long check. */
import fc from 'fast-check';
import type { DocumentUpdate } from '../../src/share/documents.ts';
import type { Merge } from '../../src/store/port.ts';
import { createShareDevice, exchangeAll, libraryOf, type ShareDevice, updatesFor } from './share-device.ts';
import { block, engineRecord, photo, plugRecord, takeRecord, testRecord } from './store-records.ts';

const KINDS = [
  'engine',
  'card',
  'test',
  'note',
  'take',
  'take',
  'set-aside',
  'open-take',
  'plug',
  'remove-test',
  'remove-engine',
  'remove-plug',
  'undo',
  'merge-engines',
  'undo-merge',
  'gather',
  'send',
  'send',
  'send-part',
  'send-late',
  'deliver-late',
  'restore',
] as const;

/** One step of a history. `device` and `other`: who acts, and on whom; `pick` and `value` choose what. */
export interface ShareAction {
  readonly kind: (typeof KINDS)[number];
  readonly device: number;
  readonly other: number;
  readonly pick: number;
  readonly value: number;
}

export const shareAction: fc.Arbitrary<ShareAction> = fc.record({
  kind: fc.constantFrom(...KINDS),
  device: fc.nat(4),
  other: fc.nat(4),
  pick: fc.nat(20),
  value: fc.nat(999),
});

interface History {
  readonly devices: readonly ShareDevice[];
  readonly late: { to: ShareDevice; updates: DocumentUpdate[] }[];
  readonly undos: Map<ShareDevice, (() => Promise<unknown>)[]>;
  readonly merges: Map<ShareDevice, Merge[]>;
  /** Tests, with the engine when it was removed with them. */
  readonly removed: { readonly testId: string; readonly engineId?: string }[];
  /** Engines that were merged into another. Against a removal elsewhere at the same time, either may win. */
  readonly merged: Set<string>;
  /** Takes that are in no document yet. Removed with their test, only the undo of that device can bring them back. */
  readonly pending: Map<ShareDevice, Set<string>>;
  takes: { id: string; testId: string }[];
  count: number;
}

const FIRST_TESTS = [
  ['t1', 'e1'],
  ['t2', 'e1'],
  ['t3', 'e2'],
  ['t4', 'e3'],
] as const;

/** Steps after which something removed may be there again. */
const MAY_BRING_BACK: readonly ShareAction['kind'][] = ['undo', 'undo-merge', 'restore'];

interface HistoryOutcome {
  readonly libraries: readonly string[][];
  readonly lost: readonly string[];
  readonly resurrected: readonly string[];
}

/**
 * Runs the actions, then brings all together. `lost`: finished takes missing from a test that is
 * there. `resurrected`: tests that were removed and are there, without an undo. `seed`: decides which of
 * two changes made at the same time wins.
 */
export async function runHistory(
  actions: readonly ShareAction[],
  deviceCount: number,
  seed: number,
): Promise<HistoryOutcome> {
  const devices = await Promise.all(
    Array.from({ length: deviceCount }, (_, i) => createShareDevice(5 * seed + i)),
  );
  const history: History = {
    devices,
    late: [],
    undos: new Map(),
    merges: new Map(),
    removed: [],
    merged: new Set(),
    takes: [],
    pending: new Map(),
    count: 0,
  };
  const first = devices[0]!;
  for (const id of ['e1', 'e2', 'e3']) await first.store.saveEngine(engineRecord(id));
  for (const [id, engineId] of FIRST_TESTS) await first.store.saveTest(testRecord(id, engineId));
  await exchangeAll(devices);
  for (const action of actions) await act(action, history);
  // Captures end, and what was delayed arrives, some of it twice.
  for (const { store } of devices)
    for (const take of await store.unfinished()) await store.saveTake({ ...take, state: 'finished' });
  for (const { to, updates } of [...history.late, ...history.late.slice(0, 2)])
    await to.documents.merge(updates);
  await exchangeAll(devices);
  const libraries = await Promise.all(devices.map(libraryOf));
  const { store } = devices[0]!;
  const lost: string[] = [];
  for (const { id, testId } of history.takes)
    if ((await store.test(testId)) && !(await store.takes(testId)).some((take) => take.id === id))
      lost.push(id);
  const resurrected: string[] = [];
  if (!actions.some(({ kind }) => MAY_BRING_BACK.includes(kind)))
    for (const { testId, engineId } of history.removed)
      if (!history.merged.has(engineId ?? '') && (await store.test(testId))) resurrected.push(testId);
  return { libraries, lost, resurrected };
}

/** What one device does. Actions that have nothing to act on do nothing. */
async function act({ kind, device, other, pick, value }: ShareAction, history: History): Promise<void> {
  const { devices } = history;
  const me = devices[device % devices.length]!;
  const you = devices[other % devices.length]!;
  const { store, documents } = me;
  const id = `${kind.slice(0, 3)}${history.count++}`;
  const engines = [...(await store.engines())].sort((a, b) => (a.id < b.id ? -1 : 1));
  const tests = [...(await store.tests())].sort((a, b) => (a.id < b.id ? -1 : 1));
  const engine = engines[pick % Math.max(1, engines.length)];
  const compressionTest = tests[pick % Math.max(1, tests.length)];
  const undos = history.undos.get(me) ?? [];
  history.undos.set(me, undos);
  const merges = history.merges.get(me) ?? [];
  history.merges.set(me, merges);

  const pending = history.pending.get(me) ?? new Set();
  history.pending.set(me, pending);
  const gather = async () => {
    await documents.gather();
    pending.clear();
  };
  const forget = (testIds: readonly string[], engineId?: string) => {
    history.removed.push(
      ...testIds.map((testId) => ({ testId, ...(engineId !== undefined && { engineId }) })),
    );
    history.takes = history.takes.filter((one) => !(testIds.includes(one.testId) && pending.has(one.id)));
  };

  switch (kind) {
    case 'engine':
      return store.saveEngine(engineRecord(id, value % 9 === 0 ? { origin: 'simulated' } : {}));
    case 'card': {
      if (!engine) return;
      const changes = [
        { name: `Name ${value}` },
        { odometerKm: value },
        { hours: undefined },
        { identity: { make: `Make ${value}`, customer: 'Jörg \u{1f527}' } },
        { facts: { ...engine.facts, geometry: { ...engine.facts.geometry, boreMm: 80 + value / 7 } } },
      ];
      return store.saveEngine({ ...engine, ...changes[value % changes.length] });
    }
    case 'test':
      return engine && store.saveTest(testRecord(id, engine.id, { origin: engine.origin, note: `${value}` }));
    case 'note': {
      if (!compressionTest) return;
      const { conditions } = compressionTest;
      const changes = [
        { note: `note ${value}` },
        { conditions: { ...conditions, ambientKpa: 90 + value / 100 } },
        { conditions: { ...conditions, ticked: [`t${value}`, ...conditions.ticked].slice(0, 5) } },
        { takenOn: '2026-04-30', takenFrom: 'hand' as const },
      ];
      return store.saveTest({ ...compressionTest, ...changes[value % changes.length] });
    }
    case 'take':
    case 'open-take': {
      if (!compressionTest) return;
      const state = kind === 'take' ? ('finished' as const) : ('open' as const);
      const take = takeRecord(id, compressionTest.id, { state, cylinder: 1 + (value % 4), order: value });
      const values = Array.from({ length: value % 50 }, (_, i) => 100 * Math.sin(i + value));
      await store.addAll({
        engines: [],
        tests: [],
        takes: [{ take, trace: { ...block(0, values), gaps: [] } }],
      });
      if (compressionTest.origin === 'measured') history.takes.push({ id, testId: compressionTest.id });
      pending.add(id);
      return;
    }
    case 'set-aside': {
      const take =
        compressionTest && (await store.takes(compressionTest.id)).find(({ state }) => state !== 'open');
      if (!take) return;
      return store.saveTake({ ...take, state: take.state === 'finished' ? 'set-aside' : 'finished' });
    }
    case 'plug': {
      if (!engine) return;
      const plug = plugRecord(id, engine.id, { hasPhoto: value % 2 === 0, gapMm: value / 1000 });
      return store.savePlug(plug, plug.hasPhoto ? photo(0xff, 0xd8, 0xff, value % 256) : undefined);
    }
    case 'remove-test':
      if (!compressionTest || (await hasOpen(me, [compressionTest.id]))) return;
      undos.push((await store.remove({ testId: compressionTest.id })).undo);
      forget([compressionTest.id]);
      return;
    case 'remove-engine': {
      const of = engine && (await store.tests(engine.id)).map((one) => one.id);
      if (!of || (await hasOpen(me, of))) return;
      undos.push((await store.remove({ engineId: engine.id })).undo);
      forget(of, engine.id);
      return;
    }
    case 'remove-plug': {
      const plug = engine && (await store.plugs(engine.id))[0];
      if (plug) undos.push((await store.remove({ plugId: plug.id })).undo);
      return;
    }
    case 'undo':
      // Refused when the record is there again already.
      await undos
        .pop()?.()
        .catch(() => undefined);
      return;
    case 'merge-engines': {
      const gone = engines[value % Math.max(1, engines.length)];
      if (!engine || !gone) return;
      const merge = await store.mergeEngines(engine, gone.id).catch(() => null);
      if (!merge) return;
      history.merged.add(gone.id);
      merges.push(merge);
      return;
    }
    case 'undo-merge': {
      const merge = merges.pop();
      if (merge) await store.undoMerge(merge).catch(() => undefined);
      return;
    }
    case 'gather':
      return gather();
    case 'restore': {
      const removed = documents.removed();
      const one = removed[pick % Math.max(1, removed.length)];
      if (one) await documents.restore(one.name);
      return;
    }
    case 'deliver-late': {
      const letter = history.late[pick % Math.max(1, history.late.length)];
      if (letter) await letter.to.documents.merge(letter.updates);
      return;
    }
    default: {
      if (me === you) return;
      if (value % 3 !== 0) await gather();
      const updates = await updatesFor(me, you, value % 5 === 0);
      if (kind === 'send-late') history.late.push({ to: you, updates });
      else
        await you.documents.merge(
          kind === 'send' ? updates : updates.filter((_, i) => (value >> (i % 8)) & 1),
        );
    }
  }
}

async function hasOpen({ store }: ShareDevice, testIds: readonly string[]): Promise<boolean> {
  return (await store.unfinished()).some(({ testId }) => testIds.includes(testId));
}
