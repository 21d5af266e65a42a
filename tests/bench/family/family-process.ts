/** Process of `runFamily`: receives its share, sends each test of it and ends. */
import { type FamilyShare, testsOf } from './family-run.ts';

const send = (numbered: object): Promise<void> =>
  new Promise((resolve, reject) => {
    process.send!(numbered, (error: Error | null) => (error ? reject(error) : resolve()));
  });

process.once('message', async (share) => {
  for (const numbered of testsOf(share as FamilyShare)) await send(numbered);
  process.disconnect();
});
