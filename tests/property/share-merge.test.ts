/**
 * Devices that change, lose, repeat and delay anything end with the same library, and no finished capture is lost whose
 * test is still there.
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { faultTally } from '../support/fault-tally.ts';
import { runHistory, shareAction } from '../support/share-history.ts';

const survives = faultTally('histories of a shared library');

test('any history gives the same library everywhere', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(shareAction, { minLength: 8, maxLength: 40, size: 'max' }),
      fc.nat(1e6),
      (actions, seed) =>
        survives(async () => {
          const { libraries, lost, resurrected } = await runHistory(actions, 3, seed);
          for (const library of libraries) expect(library).toEqual(libraries[0]);
          expect(lost).toEqual([]);
          expect(resurrected).toEqual([]);
        }),
    ),
    { numRuns: 40 },
  );
});
