import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createJournal } from '../../src/capture/journal.ts';
import { StoreProblem } from '../../src/store/port.ts';
import type { TakeRecord } from '../../worker/file/records.ts';
import { handClock } from '../support/capture-world.ts';
import { takeRecord } from '../support/store-records.ts';
import { createTestStore, settle } from '../support/test-store.ts';

describe('journal', () => {
  it('stores every sample once and in order whenever the store refuses, the record first and last', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(
          fc.record({
            samples: fc.integer({ min: 1, max: 60 }),
            gap: fc.boolean(),
            refuses: fc.constantFrom('no' as const, 'at once' as const, 'having kept it' as const),
            passMs: fc.integer({ min: 0, max: 900 }),
          }),
          { minLength: 1, maxLength: 20 },
        ),
        async (steps) => {
          const kept = createTestStore();
          const order: string[] = [];
          let refuses: 'no' | 'at once' | 'having kept it' = 'no';
          const guard = async (what: string, work: () => Promise<void>): Promise<void> => {
            if (refuses === 'at once') throw new StoreProblem('full', 'No room.');
            await work();
            // A write may succeed although the database reports that it was closed.
            if (refuses === 'having kept it') throw new StoreProblem('closed', 'Gone.');
            order.push(what);
          };
          const clock = handClock();
          const take = takeRecord('t', 'test');
          let stored = 0;
          const journal = createJournal({
            clock,
            take,
            store: {
              saveTake: (record: TakeRecord) => guard(record.state, () => kept.saveTake(record)),
              append: (id, index, block, gaps) =>
                guard(`chunk ${index}`, () => kept.append(id, index, block, gaps)),
            },
            onAttempt: (_, count) => {
              stored += count;
            },
          });
          let atS = 0;
          const times: number[] = [];
          let gaps = 0;
          for (const step of steps) {
            refuses = step.refuses;
            if (step.gap && atS > 0) {
              journal.gap({ startS: atS - 0.005, endS: atS + 0.3, reason: 'packets-lost' });
              atS += 0.3;
              gaps++;
            }
            const timeS = Float64Array.from({ length: step.samples }, (_, i) => atS + i * 0.005);
            atS += step.samples * 0.005;
            times.push(...timeS);
            journal.add({ timeS, pressureKpa: timeS.map((at) => at * 10) });
            clock.pass(step.passMs);
            await settle();
          }
          journal.save({ ...take, state: 'finished' });
          const closed = journal.close();
          // The write in progress is refused first; then comes the pause before the retry.
          await settle();
          refuses = 'no';
          clock.pass(2000);
          await settle();
          await closed;
          const trace = await kept.trace('t');
          expect([...trace.timeS]).toEqual(times);
          expect(trace.gaps.length).toBe(gaps);
          expect(stored).toBe(times.length);
          expect(order[0]).toBe('open');
          expect(order.at(-1)).toBe('finished');
          const chunks = order.filter((what) => what.startsWith('chunk'));
          expect(chunks).toEqual(chunks.map((_, i) => `chunk ${i}`));
        },
      ),
      { numRuns: 60 },
    );
  });
});
