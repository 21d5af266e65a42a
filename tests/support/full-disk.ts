/** Fills the file system of a browser's profile in the middle of a capture, and checks what is left after a restart. */
import { spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { en } from '../../src/copy/en.ts';
import { App, said } from './app.ts';
import { lookIntoStore } from './crash.ts';
import { launchKillable } from './killable-browser.ts';

/** Size of the file system: room for a fresh profile and a test, MB. */
const SIZE_MB = 150;
const FULL_FOR_MS = 3000;
/** Name of an engine from before the capture, which only the database holds. */
const EARLIER = 'Earlier engine';

/** A small file system of its own, or `null` where this machine does not allow mounting one. */
export function smallFileSystem(): { readonly folder: string; remove(): void } | null {
  const folder = mkdtempSync(join(tmpdir(), 'strokebook-disk-'));
  const mount = spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${SIZE_MB}m`, 'tmpfs', folder]);
  if (mount.status !== 0) {
    rmSync(folder, { recursive: true });
    return null;
  }
  return {
    folder,
    remove() {
      spawnSync('umount', ['-l', folder]);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Space left free: a browser maps some of its files into memory, and crashes when not one page can be allocated. */
const PIECE = 64 * 1024;

/** Writes until no piece fits any more. */
function fill(file: string): void {
  const handle = openSync(file, 'w');
  try {
    for (;;) writeSync(handle, new Uint8Array(PIECE));
  } catch {
    // Full.
  } finally {
    closeSync(handle);
  }
}

const wait = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

/** State after the restart. */
export interface FullDisk {
  /** Samples that the page knew to be stored before the browser ended. */
  readonly acknowledged: number;
  /** Samples of the capture found after the restart. */
  readonly found: number;
  /** Engines and tests were present after the restart. */
  readonly libraryKept: boolean;
  /** If they were not, the start page said so. */
  readonly saidSo: boolean;
  /** The page had asked for a backup. */
  readonly askedForBackup: boolean;
  /** The browser itself crashed on the full disk. */
  readonly endedItself: boolean;
}

/** `folder`: an empty folder on the small file system. */
export async function fillDiskOnce(appUrl: string, folder: string, killed: boolean): Promise<FullDisk> {
  const profile = join(folder, 'profile');
  const before = await launchKillable(profile);
  let acknowledged = 0;
  let askedForBackup = false;
  let endedItself = false;
  try {
    const app = new App(before.page, appUrl);
    await app.beginTest({ name: EARLIER, cylinders: 1 });
    await app.beginTest({ name: 'Full', cylinders: 1 });
    await app.page.getByRole('radio', { name: en.crank.sourceSimulator }).check();
    await app.button(en.crank.connectSimulator).click();
    await app.arm();
    await app.button(en.crank.turnStarter).click();
    while ((await app.meters()).storedCount === 0) await wait(20);
    await wait(700);
    acknowledged = (await app.meters()).storedCount;
    fill(join(folder, 'full'));
    await wait(FULL_FOR_MS);
    rmSync(join(folder, 'full'));
    // Until all is stored, or until the browser has crashed.
    for (let isDone = false; !isDone; await wait(50)) {
      const { storedCount, takenCount } = await app.meters();
      acknowledged = storedCount;
      isDone = storedCount === takenCount && (await app.phase(en.phase.done).count()) > 0;
    }
    askedForBackup = (await app.page.getByText(en.backupWanted).count()) > 0;
    if (!killed) await app.page.context().browser()?.close();
  } catch (cause) {
    if (!/closed|crashed/i.test(String(cause)) || acknowledged === 0) throw cause;
    endedItself = true;
  } finally {
    await before.kill();
  }
  const after = await launchKillable(profile);
  try {
    const app = new App(after.page, appUrl);
    await app.goTo('/');
    await wait(3000);
    const saidSo = (await app.page.getByText(said(en.engines.vanished)).count()) > 0;
    const { samples: found } = await lookIntoStore(after);
    const libraryKept = (await app.page.getByText(EARLIER).count()) > 0;
    return { acknowledged, found, libraryKept, saidSo, askedForBackup, endedItself };
  } finally {
    await after.kill();
  }
}
