/** However often and far a device's clock is set back or ahead between takes, the take made last is the one that counts. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { isAfterSetBack } from '../../src/library/take-order.ts';
import { captureWorld, testRecord } from '../support/capture-world.ts';
import { faultTally } from '../support/fault-tally.ts';
import { settle } from '../support/test-store.ts';

const survives = faultTally('clock set back');

const DAY_MS = 86_400_000;
/** How far the clock is set back, ms; negative is ahead. Seconds: a time server, hours: a time zone, years: a flat battery. */
const setBackMs = fc.oneof(
  fc.integer({ min: -5000, max: 5000 }),
  fc.integer({ min: -DAY_MS, max: DAY_MS }),
  fc.integer({ min: 0, max: 20 * 365 }).map((days) => days * DAY_MS),
);

it('counts the take made last', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(setBackMs, { minLength: 1, maxLength: 4 }), (jumps) =>
      survives(async () => {
        const world = await captureWorld();
        let finalKpa = 1000;
        let behindMs = 0;
        const type = () => world.library.addTyped(testRecord, 1, 'dry', { strokesKpa: [], finalKpa });
        await type();
        for (const jump of jumps) {
          world.clock.setBack(jump);
          behindMs = Math.max(0, behindMs + jump);
          finalKpa++;
          await type();
          world.clock.pass(10);
        }
        const resource = world.library.test(testRecord.id);
        await settle();
        if (resource.value.state !== 'ready') throw new Error(`The test is ${resource.value.state}`);
        const { takes, counting } = resource.value.value;
        expect(counting.dry.get(1)?.reading.finalKpa).toBe(finalKpa);
        expect(takes.map(({ reading }) => reading.finalKpa)).toEqual(
          Array.from({ length: jumps.length + 1 }, (_, i) => 1000 + i),
        );
        // The notice about the last take, when the clock is far behind the latest time it ever showed.
        if (behindMs > 61_000) expect(isAfterSetBack(takes.at(-1)!.take)).toBe(true);
      }),
    ),
    { numRuns: 60 },
  );
});
