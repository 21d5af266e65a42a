/**
 * Long proofs of the shared library: `npm run share-check -- [histories] [hostile] [kills] [join] [--count N]`, all when none
 * is named. Prints figures; the exit code is 1 when one misses its limit.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import fc from 'fast-check';
import { serveBuiltApp } from '../support/built-app.ts';
import { runHistory, shareAction } from '../support/share-history.ts';
import { attack } from './share/attacks.ts';
import { joinLarge } from './share/join.ts';
import { killBothSides } from './share/kills.ts';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { count: { type: 'string' }, seed: { type: 'string', default: '1' } },
});
const count = (usual: number): number => Number(values.count ?? usual);
let isMissed = false;

/** Prints a line; `isMet` false makes the command fail. */
function figure(text: string, isMet = true): void {
  console.log(isMet ? text : `${text}  MISSED`);
  if (!isMet) isMissed = true;
}

async function histories(): Promise<void> {
  const all = fc.sample(
    fc.tuple(
      fc.array(shareAction, { minLength: 10, maxLength: 60, size: 'max' }),
      fc.integer({ min: 2, max: 5 }),
      fc.nat(1e6),
    ),
    {
      numRuns: count(1000),
      seed: Number(values.seed),
    },
  );
  let survived = 0;
  for (const [actions, devices, seed] of all) {
    const { libraries, lost, resurrected } = await runHistory(actions, devices, seed);
    const isSame = libraries.every((one) => JSON.stringify(one) === JSON.stringify(libraries[0]));
    if (isSame && lost.length + resurrected.length === 0) survived++;
    else console.log(JSON.stringify({ isSame, lost, resurrected, devices, seed, actions }));
  }
  figure(
    `random histories of 2 to 5 devices: tried ${all.length}, survived ${survived}`,
    survived === all.length,
  );
}

/** Runs `work` with the built app and an empty folder for the server. */
async function withApp(work: (appFolder: string, folder: string) => Promise<void>): Promise<void> {
  const app = await serveBuiltApp();
  const folder = mkdtempSync(join(tmpdir(), 'strokebook-check-'));
  try {
    await work(app.folder, folder);
  } finally {
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
    await app.close();
  }
}

const parts = {
  histories,
  hostile: () => withApp((app, folder) => attack(app, folder, figure)),
  kills: async () => {
    for (const devices of [2, 5])
      await withApp((app, folder) => killBothSides(app, folder, devices, count(20), figure));
  },
  join: () => withApp((app, folder) => joinLarge(app, folder, count(5000), figure)),
};
const named = positionals.filter((name): name is keyof typeof parts => name in parts);
if (named.length < positionals.length) {
  console.error(`Parts are: ${Object.keys(parts).join(', ')}`);
  process.exit(2);
}
for (const part of named.length > 0 ? named : (Object.keys(parts) as (keyof typeof parts)[]))
  await parts[part]();
process.exit(isMissed ? 1 : 0);
