/** Every record that the store accepts comes back equal from a backup: texts of any length and extreme figures included. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { TestStore } from '../../src/store/port.ts';
import { exportBackup } from '../../src/store/session-export.ts';
import { importSession } from '../../src/store/session-import.ts';
import type { EngineRecord, TakeRecord, TestRecord } from '../../worker/file/records.ts';
import { parseSession } from '../../worker/file/session/session-file.ts';
import { faultTally } from '../support/fault-tally.ts';
import { block, engineRecord, gap, takeRecord, testRecord } from '../support/store-records.ts';
import { createTestStore } from '../support/test-store.ts';

/** Far beyond every limit, with letters of two code units. */
const text = fc.oneof(
  fc.string({ maxLength: 20, unit: 'grapheme' }),
  fc
    .tuple(fc.string({ maxLength: 3 }), fc.integer({ min: 90, max: 12_000 }))
    .map(([tail, n]) => '\u{1f527}'.repeat(n / 2) + tail),
);
const figure = fc.double();

const engine = fc
  .record({ name: text, odometerKm: figure })
  .map((more): EngineRecord => engineRecord('e1', more));
const compressionTest = fc
  .record({ note: text, ticked: fc.array(text, { maxLength: 3 }), altitudeM: figure })
  .map(({ note, ...conditions }): TestRecord => testRecord('t1', 'e1', { note, conditions }));
const take = fc
  .record({
    name: text,
    serial: text,
    sensorMaxKpa: figure,
    order: fc.integer({ min: 0, max: 2 ** 50 }),
    strokes: fc.integer({ min: 0, max: 300 }),
    endS: fc.double({ min: -1, max: 5, noNaN: true }),
  })
  .map(
    ({ name, serial, sensorMaxKpa, order, strokes, endS }): TakeRecord =>
      takeRecord('k1', 't1', {
        state: 'finished',
        source: { kind: 'bluetooth', name, serial, sensorMaxKpa },
        order,
        typed: { strokesKpa: Array.from({ length: strokes }, (_, i) => i) },
        pageHidden: [{ startS: 1, endS }],
      }),
  );

async function all(store: TestStore) {
  return {
    engines: await store.engines(),
    tests: await store.tests(),
    takes: await store.takes('t1'),
    trace: await store.trace('k1'),
  };
}

const survives = faultTally('backup round trips');

test('a backup contains everything the store accepted', async () => {
  await fc.assert(
    fc.asyncProperty(engine, compressionTest, take, (e, t, k) =>
      survives(async () => {
        const store = createTestStore();
        await store.saveEngine(e);
        await store.saveTest(t);
        await store.saveTake(k);
        await store.append('k1', 0, block(0, [1, -0, 1e5]), [gap(0.01, 0.02)]);
        const file = await exportBackup(store, { savedAt: '2026-05-03T08:00:00.000Z' });
        const outcome = parseSession(await file!.text());
        expect(outcome).toMatchObject({ ok: true });
        expect(outcome.ok && outcome.remarks).toBeUndefined();
        const other = createTestStore();
        if (outcome.ok) await importSession(other, outcome.session);
        // JSON turns -0 into 0 in a record; samples keep it.
        const plain = (value: unknown) => JSON.parse(JSON.stringify(value)) as unknown;
        const [before, after] = [await all(store), await all(other)];
        expect(after.trace).toEqual(before.trace);
        expect(plain(after)).toEqual(plain(before));
      }),
    ),
    { numRuns: 60 },
  );
});
