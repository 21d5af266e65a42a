/**
 * Injects the faults of field use: `npm run faults -- [radio] [crash] [disk] [library] [share] [--kills N] [--seed N]`, all when
 * none is named. Prints how many faults of each kind were injected and survived; the exit code is 1 when one was not survived.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { root } from '../../build/install.mjs';
import { createRandom } from '../../simulator/random.ts';
import { serveBuiltApp } from '../support/built-app.ts';
import { type Crash, crashOnce } from '../support/crash.ts';
import { fillDiskOnce, smallFileSystem } from '../support/full-disk.ts';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { kills: { type: 'string', default: '20' }, seed: { type: 'string', default: '1' } },
});
/** Link faults through the whole capture, and fuzzed packets through every decoder. */
function radio(): boolean {
  const tests = ['tests/unit/radio-faults.test.ts', 'tests/property/wire-fuzz.test.ts'];
  return vitest(tests);
}

function vitest(tests: readonly string[]): boolean {
  const args = ['run', '--project', 'node', ...tests];
  const { status } = spawnSync(join(root, 'node_modules/.bin/vitest'), args, { cwd: root, stdio: 'inherit' });
  return status === 0;
}

/** Range of the delay from the press of the starter to the kill, ms: from the first stored samples until the take is stored. */
const KILL_AFTER_MS = { earliest: 1000, latest: 6000 };

const isSurvived = ({ due, acknowledged, found, offered, kept }: Crash): boolean =>
  found >= due && found >= acknowledged && offered && kept;

/** Kills the browser process at random moments of a capture, always with the same profile. */
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
      const { killedS, due, acknowledged, found } = outcome;
      const how = isSurvived(outcome) ? 'survived' : `LOST ${JSON.stringify(outcome)}`;
      console.log(
        `crash ${i} at ${killedS.toFixed(2)} s: ${due} samples older than 300 ms, ${acknowledged} acknowledged, ${found} found, ${how}`,
      );
    }
  } finally {
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    await app.close();
  }
  console.log(`browser killed in mid-capture: tried ${tried}, survived ${survived}`);
  return survived === tried;
}

/** Fills the disk for three seconds during a capture, then ends the browser (killed or closed) and starts it again. */
async function disk(): Promise<boolean> {
  const app = await serveBuiltApp();
  const tried = 4;
  let survived = 0;
  try {
    for (let i = 1; i <= tried; i++) {
      const small = smallFileSystem();
      if (!small) {
        console.log('disk full: this machine mounts no small file system; only injected faults were tried');
        return vitest(['tests/unit/capture-files.test.ts']);
      }
      try {
        const killed = i % 2 === 1;
        const outcome = await fillDiskOnce(app.url, small.folder, killed);
        const { acknowledged, found, libraryKept, saidSo, askedForBackup } = outcome;
        const isAsked = askedForBackup || outcome.endedItself;
        const isKept = found >= acknowledged && (libraryKept || saidSo) && isAsked;
        if (isKept) survived++;
        console.log(
          `disk full ${i} (${killed ? 'killed' : 'closed'}): ${acknowledged} acknowledged, ${found} found, library ` +
            `${libraryKept ? 'kept' : saidSo ? 'gone and named' : 'GONE'}, ${outcome.endedItself ? 'browser ended by itself' : `${askedForBackup ? '' : 'NOT '}asked for a backup`}`,
        );
      } finally {
        small.remove();
      }
    }
  } finally {
    await app.close();
  }
  console.log(`disk full (small file system): tried ${tried}, survived ${survived}`);
  return survived === tried;
}

/** Other faults of a library. Each file prints how many faults of its kind it injected. */
const library = (): boolean =>
  vitest([
    'tests/property/backup-round-trip.test.ts',
    'tests/property/clock-set-back.test.ts',
    'tests/unit/take-order.test.ts',
    'tests/unit/library.test.ts',
    'tests/unit/capture-files.test.ts',
  ]);

/** Histories of several devices, damaged files and folders, hostile clients of a shared library. */
const share = (): boolean =>
  vitest([
    'tests/property/share-merge.test.ts',
    'tests/unit/share-exchange.test.ts',
    'tests/unit/share-server.test.ts',
  ]);

const parts = { radio, crash, disk, library, share };
const named = positionals.filter((name): name is keyof typeof parts => name in parts);
if (named.length < positionals.length) {
  console.error(`Parts are: ${Object.keys(parts).join(', ')}`);
  process.exit(2);
}
for (const part of named.length > 0 ? named : (Object.keys(parts) as (keyof typeof parts)[])) {
  if (!(await parts[part]())) process.exitCode = 1;
}
