/**
 * What goes wrong in a driveway, tried: `npm run faults -- [radio] [crash] [--kills N] [--seed N]`, both when none is
 * named. Prints how many faults of each kind were tried and how many were survived; the exit code is 1 when one was not.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { createRandom } from '../../simulator/random.ts';
import { serveBuiltApp } from '../support/built-app.ts';
import { type Crash, crashOnce } from '../support/crash.ts';
import { root } from '../support/install.mjs';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { kills: { type: 'string', default: '20' }, seed: { type: 'string', default: '1' } },
});
/** Faults of the link through the whole capture, and fuzzed packets through every decoder. */
function radio(): boolean {
  const tests = ['tests/unit/radio-faults.test.ts', 'tests/property/wire-fuzz.test.ts'];
  const args = ['run', '--project', 'node', ...tests];
  const { status } = spawnSync(join(root, 'node_modules/.bin/vitest'), args, { cwd: root, stdio: 'inherit' });
  return status === 0;
}

/** From the first samples stored to the take being written down. */
const KILL_AFTER_MS = { earliest: 1000, latest: 6000 };

const isSurvived = ({ owed, acknowledged, found, offered, kept }: Crash): boolean =>
  found >= owed && found >= acknowledged && offered && kept;

/** The browser process is killed at random moments of a capture, in one profile that outlives them all. */
async function crash(): Promise<boolean> {
  const app = await serveBuiltApp();
  const profile = mkdtempSync(join(tmpdir(), 'strokebook-crash-'));
  const random = createRandom(Number(values.seed));
  const tried = Number(values.kills);
  let survived = 0;
  try {
    for (let i = 1; i <= tried; i++) {
      const afterMs = random.between(KILL_AFTER_MS.earliest, KILL_AFTER_MS.latest);
      const outcome = await crashOnce(app.url, profile, afterMs);
      if (isSurvived(outcome)) survived++;
      const { killedS, owed, acknowledged, found } = outcome;
      const how = isSurvived(outcome) ? 'survived' : `LOST ${JSON.stringify(outcome)}`;
      console.log(
        `crash ${i} at ${killedS.toFixed(2)} s: ${owed} samples older than 300 ms, ${acknowledged} acknowledged, ${found} found, ${how}`,
      );
    }
  } finally {
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    await app.close();
  }
  console.log(`browser killed in mid-capture: tried ${tried}, survived ${survived}`);
  return survived === tried;
}

const parts = { radio, crash };
const named = positionals.filter((name): name is keyof typeof parts => name in parts);
if (named.length < positionals.length) {
  console.error(`Parts are: ${Object.keys(parts).join(', ')}`);
  process.exit(2);
}
for (const part of named.length > 0 ? named : (Object.keys(parts) as (keyof typeof parts)[])) {
  if (!(await parts[part]())) process.exitCode = 1;
}
