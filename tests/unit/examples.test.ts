import { describe, expect, test } from 'vitest';
import { ambientKpa, readingOptions } from '../../src/analysis/reading-options.ts';
import { en } from '../../src/copy/en.ts';
import { EXAMPLE_IDS, type ExampleId } from '../../src/examples/example-ids.ts';
import { createExamples, type ExamplesDependencies } from '../../src/examples/examples.ts';
import { makeExample } from '../../src/examples/make-example.ts';
import { plugFindings } from '../../src/library/plug-findings.ts';
import type { Clock, KeyValueStorage, Locks } from '../../src/platform/ports.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { engineRecord } from '../support/store-records.ts';
import { createTestStore } from '../support/test-store.ts';

const NOW = '2026-11-25T10:00:00.000Z';
const made = new Map(EXAMPLE_IDS.map((id) => [id, makeExample(id, NOW, en.examples)]));

/** The newest test of an example, judged as the app judges it. */
function judged(id: ExampleId) {
  const { engines, tests, takes, plugs } = made.get(id)!;
  const { facts } = engines[0]!;
  const test = tests.at(-1)!;
  const readings = takes
    .filter(({ take }) => take.testId === test.id)
    .map(({ take, trace }) => ({
      cylinder: take.cylinder,
      condition: take.condition,
      reading: readTrace(trace, readingOptions(facts, test.conditions, take)),
    }));
  return judgeEngine(readings, facts, test.rule, {
    ambientKpa: ambientKpa(test.conditions),
    plugs: plugFindings(
      plugs!.map(({ plug }) => plug),
      test.startedAt,
    ),
  });
}

describe('the example engines', () => {
  test.each(EXAMPLE_IDS)('%s is marked as an example everywhere, with tests in the past', (id) => {
    const { engines, tests, takes, plugs = [] } = made.get(id)!;
    const records = [
      ...engines,
      ...tests,
      ...takes.map(({ take }) => take),
      ...plugs.map(({ plug }) => plug),
    ];
    expect(new Set(records.map(({ origin }) => origin))).toEqual(new Set(['example']));
    expect(new Set(records.map((one) => one.id)).size).toBe(records.length);
    expect(tests.length).toBeGreaterThanOrEqual(2);
    const dates = tests.map(({ startedAt }) => startedAt);
    expect([...dates].sort()).toEqual(dates);
    expect(dates.at(-1)! < NOW).toBe(true);
    const odometer = tests.map(({ conditions }) => conditions.odometerKm!);
    expect([...odometer].sort((a, b) => a - b)).toEqual(odometer);
  });

  test('the same seed gives the same samples', () => {
    expect(makeExample('example-twin', NOW, en.examples)).toEqual(made.get('example-twin'));
  });

  test('each shows its intended findings', () => {
    const four = judged('example-four');
    expect(four.verdict).toBe('fault');
    expect(four.suspects[0]).toMatchObject({ cause: 'ring-wear', cylinders: [3] });
    const six = judged('example-six');
    expect(six.verdict).toBe('fault');
    expect(six.suspects[0]).toMatchObject({ cause: 'head-gasket', cylinders: [3, 5] });
    const twin = judged('example-twin');
    expect(twin.verdict).toBe('sound');
    expect(twin.suspects).toEqual([]);
  });
});

function world(kept: string | null = null) {
  const store = createTestStore();
  let text = kept;
  const storage: KeyValueStorage = {
    read: () => text,
    write: (_, written) => {
      text = written;
    },
  };
  const locks: Locks = { hold: async () => () => undefined, isHeld: async () => false };
  const clock: Clock = { nowMs: () => 0, wallTime: () => NOW, after: () => () => undefined };
  let count = 0;
  let changes = 0;
  const deps: ExamplesDependencies = {
    store,
    storage,
    locks,
    clock,
    make: async ({ id }) => {
      count++;
      return { ...made.get(id)!, takes: [] };
    },
    words: () => en.examples,
    changed: () => {
      changes++;
    },
  };
  const create = () => createExamples(deps);
  return {
    store,
    storage,
    deps,
    create,
    examples: create(),
    madeCount: () => count,
    changeCount: () => changes,
    ids: async () => ids(await store.engines()),
  };
}
const ids = (engines: readonly { id: string }[]) => engines.map(({ id }) => id);

describe('offering the examples', () => {
  test('creates them once, on a first start', async () => {
    const { examples, create, ids: kept, madeCount, changeCount } = world();
    await examples.offer();
    await examples.offer();
    await create().offer();
    expect(await kept()).toEqual([...EXAMPLE_IDS]);
    expect(madeCount()).toBe(3);
    expect(changeCount()).toBe(3);
  });

  test('states from the start whether they are due, so that their space can be reserved', async () => {
    const { examples, create } = world();
    expect(examples.state.value).toBe('due');
    await examples.offer();
    expect(examples.state.value).toBe('made');
    expect(create().state.value).toBe('idle');
    expect(world('removed').examples.state.value).toBe('idle');
  });

  test('leaves the due state beside the user’s own engines, and while another tab makes them', async () => {
    const { examples, store, deps } = world();
    await store.saveEngine(engineRecord('mine'));
    await examples.offer();
    expect(examples.state.value).toBe('idle');
    const locks: Locks = { hold: async () => null, isHeld: async () => true };
    const second = createExamples({ ...deps, locks });
    await second.offer();
    expect(second.state.value).toBe('idle');
  });

  test('creates none beside the user’s own engines', async () => {
    const { examples, store, ids: kept } = world();
    await store.saveEngine(engineRecord('mine'));
    await examples.offer();
    expect(await kept()).toEqual(['mine']);
  });

  test('continues where a closed tab left off', async () => {
    const { examples, store, ids: kept, madeCount } = world();
    await store.addAll({ ...made.get('example-four')!, takes: [] });
    await examples.offer();
    expect(new Set(await kept())).toEqual(new Set(EXAMPLE_IDS));
    expect(madeCount()).toBe(2);
  });

  test('reports a browser that cannot make them, and tries again at a later visit', async () => {
    const { create, store, storage, deps } = world();
    const broken = createExamples({ ...deps, make: () => Promise.reject(new Error('no workers here')) });
    await broken.offer();
    expect(broken.state.value).toBe('not-made');
    await broken.offer();
    expect(await store.engines()).toEqual([]);
    expect(storage.read('strokebook-examples')).toBeNull();
    await create().offer();
    expect(await store.engines()).toHaveLength(3);
  });

  test('removes all at once, does not offer them again, and restores them by undo', async () => {
    const { examples, create, store, ids: kept } = world();
    await examples.offer();
    await store.saveEngine(engineRecord('mine'));
    const { undo } = await examples.remove();
    expect(await kept()).toEqual(['mine']);
    expect(await store.tests()).toEqual([]);
    await create().offer();
    expect(await kept()).toEqual(['mine']);
    await undo();
    expect(new Set(await kept())).toEqual(new Set(['mine', ...EXAMPLE_IDS]));
    expect(await store.plugs('example-twin')).toHaveLength(6);
  });
});
