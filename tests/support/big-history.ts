/** Writes a library of many years into the browser's database; cranking 20 000 cylinders would take too long. */
import type { Page } from 'playwright-core';
import { makeEngine } from '../../simulator/engine.ts';
import { CHECK_VALVE_RIG } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import type { LayoutKind } from '../../worker/core/engine.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { EngineRecord, TakeRecord, TestRecord } from '../../worker/file/records.ts';
import { engineRecord, takeRecord, testRecord } from './store-records.ts';

export interface HistorySize {
  readonly engines: number;
  readonly tests: number;
  /** Tests of the first engine; the others share the rest evenly. */
  readonly longest: number;
}

/** Cylinders in every test, which makes 20 000 takes. */
export const MANY_YEARS: HistorySize = { engines: 200, tests: 5000, longest: 100 };
export const TAKES_PER_TEST = 4;

/** Name of the engine with the longest history, last in the list of engines. */
export const LONGEST_NAME = 'Engine 1, tested for years';

const LAYOUTS: readonly (readonly [LayoutKind, number])[] = [
  ['inline', 4],
  ['vee', 6],
  ['flat', 4],
  ['inline', 6],
  ['vee', 8],
];
const FIRST_DAY_MS = Date.parse('2018-01-08T09:00:00Z');
const DAY_MS = 86_400_000;

/** Traces through a check valve, from 400 to 1200 samples. Many takes share one, since reading it costs the same. */
function traces(): { timeS: number[]; pressureKpa: number[] }[] {
  const engine = makeEngine({ layout: presetLayout('inline', 4) });
  return [60, 100, 120, 150, 200].map((rateHz, i) => {
    const spec = {
      engine,
      cylinder: 1 + (i % 4),
      rig: CHECK_VALVE_RIG,
      restBeforeS: 1,
      crankS: 4,
      restAfterS: 1,
    };
    const { trace } = simulateTrace({ ...spec, sensor: { rateHz }, seed: 1 + i });
    return { timeS: [...trace.timeS], pressureKpa: [...trace.pressureKpa] };
  });
}

function records({ engines: engineCount, tests: testCount, longest }: HistorySize) {
  const engines: EngineRecord[] = Array.from({ length: engineCount }, (_, i) => {
    const [kind, cylinders] = LAYOUTS[i % LAYOUTS.length]!;
    return engineRecord(`e${i + 1}`, {
      name: i === 0 ? LONGEST_NAME : `Engine ${i + 1}`,
      facts: { ...engineRecord('e').facts, layout: presetLayout(kind, cylinders) },
      createdAt: new Date(FIRST_DAY_MS + i * DAY_MS).toISOString(),
    });
  });
  const tests: TestRecord[] = Array.from({ length: testCount }, (_, i) => {
    const engine = i < longest ? 0 : 1 + ((i - longest) % (engineCount - 1));
    const round = i < longest ? i : Math.floor((i - longest) / (engineCount - 1));
    const odometerKm = 40_000 + 1500 * round;
    return testRecord(`t${i + 1}`, `e${engine + 1}`, {
      startedAt: new Date(FIRST_DAY_MS + (engine + 28 * round) * DAY_MS).toISOString(),
      conditions: { ...testRecord('t', 'e').conditions, odometerKm },
    });
  });
  const takes: TakeRecord[] = tests.flatMap((test, i) =>
    Array.from({ length: TAKES_PER_TEST }, (_, k) =>
      takeRecord(`k${i * TAKES_PER_TEST + k + 1}`, test.id, {
        cylinder: k + 1,
        hose: 'check-valve',
        startedAt: new Date(Date.parse(test.startedAt) + (k + 1) * 60_000).toISOString(),
        state: 'finished',
      }),
    ),
  );
  return { engines, tests, takes };
}

interface StoreContent {
  readonly engines: readonly EngineRecord[];
  readonly tests: readonly TestRecord[];
  readonly takes: readonly TakeRecord[];
  /** Take i gets trace i, beginning again when there are fewer. */
  readonly traces: readonly { readonly timeS: number[]; readonly pressureKpa: number[] }[];
}

/** Adds records to the store of a page on which the app has started. */
export const addToStore = (page: Page, content: StoreContent): Promise<void> =>
  page.evaluate(async ({ engines, tests, takes, traces }) => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('strokebook');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const add = async (name: string, entries: readonly unknown[]) => {
      for (let from = 0; from < entries.length; from += 500) {
        const tx = db.transaction(name, 'readwrite', { durability: 'relaxed' });
        for (const entry of entries.slice(from, from + 500)) tx.objectStore(name).add(entry);
        await new Promise((resolve, reject) => {
          tx.oncomplete = resolve;
          tx.onabort = () => reject(tx.error);
        });
      }
    };
    const arrays = traces.map(({ timeS, pressureKpa }) => ({
      timeS: Float64Array.from(timeS),
      pressureKpa: Float64Array.from(pressureKpa),
    }));
    await add('engines', engines);
    await add('tests', tests);
    await add('takes', takes);
    await add(
      'chunks',
      takes.map(({ id }, i) => ({ takeId: id, index: 0, gaps: [], ...arrays[i % arrays.length]! })),
    );
    db.close();
  }, content);

/** Fills the store of a page on which the app has started. Returns the number of takes and of samples. */
export async function fillHistory(page: Page, size: HistorySize = MANY_YEARS) {
  const kept = records(size);
  const given = { ...kept, traces: traces() };
  await addToStore(page, given);
  const samples = kept.takes.reduce(
    (sum, _, i) => sum + given.traces[i % given.traces.length]!.timeS.length,
    0,
  );
  return { takes: kept.takes.length, samples };
}
