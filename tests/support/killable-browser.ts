/** A Chromium whose process can be killed at any moment, with a profile that survives. */
import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { findChromium } from '../../build/chromium.mjs';
import { PHONE, QUIET } from './browser.ts';

export interface KillableBrowser {
  readonly page: Page;
  /** Kills all of its processes at once, without notice to the page. */
  kill(): Promise<void>;
}

const STARTS_WITHIN_MS = 20_000;
const soon = () => new Promise((resolve) => setTimeout(resolve, 30));

async function debuggingAddress(folder: string, child: ChildProcess): Promise<string> {
  const portFile = join(folder, 'DevToolsActivePort');
  const untilMs = performance.now() + STARTS_WITHIN_MS;
  while (performance.now() < untilMs && child.exitCode === null) {
    const [port, path] = existsSync(portFile) ? readFileSync(portFile, 'utf8').split('\n') : [];
    if (port && path) return `ws://127.0.0.1:${port}${path}`;
    await soon();
  }
  throw new Error('Chromium did not come up.');
}

/** Launches Chromium on this profile. Throws when none is installed or it does not start in time. */
export async function launchKillable(profileFolder: string): Promise<KillableBrowser> {
  const program = findChromium();
  if (program === undefined) throw new Error('There is no Chromium; npm test gets one.');
  rmSync(join(profileFolder, 'DevToolsActivePort'), { force: true });
  // A separate process group, so that all of its processes can be killed together.
  const child = spawn(
    program,
    [
      ...QUIET,
      '--headless',
      '--remote-debugging-port=0',
      `--user-data-dir=${profileFolder}`,
      `--window-size=${PHONE.width},${PHONE.height}`,
      'about:blank',
    ],
    { detached: true, stdio: 'ignore', env: { ...process.env, LC_ALL: 'C', TZ: 'UTC' } },
  );
  const dead = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  const kill = async (): Promise<void> => {
    if (child.exitCode === null && child.signalCode === null) process.kill(-child.pid!, 'SIGKILL');
    await dead;
  };
  try {
    const browser: Browser = await chromium.connectOverCDP(await debuggingAddress(profileFolder, child));
    const context = browser.contexts()[0]!;
    const page = context.pages()[0] ?? (await context.newPage());
    return { page, kill };
  } catch (cause) {
    await kill();
    throw cause;
  }
}
