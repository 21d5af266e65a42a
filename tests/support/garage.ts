/** A workshop of real browsers with profiles on disk, and a shared library as a process that can be killed. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { en } from '../../src/copy/en.ts';
import { App } from './app.ts';
import { type KillableBrowser, launchKillable } from './killable-browser.ts';

export interface ServerProcess {
  readonly url: string;
  readonly secret: string;
  readonly folder: string;
  memory(): Promise<{ rss: number; documents: number; bytes: number }>;
  kill(): Promise<void>;
}

/** A port that is free now. */
export async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
}

export async function startServerProcess(
  folder: string,
  port: number,
  appFolder: string,
): Promise<ServerProcess> {
  const script = new URL('./share-server-process.ts', import.meta.url).pathname;
  const child: ChildProcess = fork(script, [folder, String(port), appFolder], {
    execArgv: ['--import', 'tsx'],
  });
  const [{ secret }] = (await once(child, 'message')) as [{ secret: string }];
  return {
    url: `http://127.0.0.1:${port}/`,
    secret,
    folder,
    async memory() {
      child.send('memory');
      const [report] = (await once(child, 'message')) as [{ rss: number; documents: number; bytes: number }];
      return report;
    },
    async kill() {
      child.kill('SIGKILL');
      await once(child, 'exit');
    },
  };
}

/** One device: a browser with a profile of its own. */
export interface GarageDevice {
  readonly profile: string;
  browser: KillableBrowser;
  app: App;
}

export async function openDevice(
  url: string,
  profile = mkdtempSync(join(tmpdir(), 'strokebook-device-')),
): Promise<GarageDevice> {
  const browser = await launchKillable(profile);
  // The runner of these commands names functions by a helper that the page does not have.
  await browser.page.addInitScript('globalThis.__name = (one) => one');
  const app = new App(browser.page, url);
  return { profile, browser, app };
}

export const removeDevice = ({ profile }: GarageDevice): void =>
  rmSync(profile, { recursive: true, force: true, maxRetries: 5 });

export async function joinLibrary({ app }: GarageDevice, secret: string, name: string): Promise<void> {
  await app.goTo(`share#join=${secret}`);
  await app.page.getByLabel(en.share.deviceName).fill(name);
  await app.button(en.share.join).click();
  await app.page.getByRole('status').filter({ hasText: /./ }).first().waitFor();
}

/** Resolves once the device says that it is in step. */
export async function waitInStep({ app }: GarageDevice, timeout = 60_000): Promise<void> {
  await app.goTo('share');
  await app.page
    .getByText(en.share.state.together, { exact: true })
    .waitFor({ timeout })
    .catch(async (cause: unknown) => {
      const section = app.page.getByRole('region', { name: en.share.garage });
      await app.page.goto(new URL('settings', app.url).href);
      const report = app.page.getByRole('textbox', { name: en.support.title });
      await new Promise((resolve) => setTimeout(resolve, 2000));
      throw new Error(`${await section.textContent().catch(() => '')} ${await report.inputValue()}`, {
        cause,
      });
    });
}

/** Everything in the library of a page, in a comparable form. */
export const libraryIn = (page: Page): Promise<string> =>
  page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('strokebook');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const all = (name: string) =>
      new Promise<{ id?: string }[]>((resolve, reject) => {
        const request = db.transaction(name).objectStore(name).getAll();
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    const sorted = (value: unknown): unknown =>
      ArrayBuffer.isView(value)
        ? Array.from(value as Float64Array)
        : Array.isArray(value)
          ? value.map(sorted)
          : typeof value === 'object' && value !== null
            ? Object.fromEntries(
                Object.entries(value)
                  .filter(([, one]) => one !== undefined)
                  .sort(([a], [b]) => (a < b ? -1 : 1))
                  .map(([key, one]) => [key, sorted(one)]),
              )
            : value;
    const stores = [];
    for (const name of ['engines', 'tests', 'takes', 'chunks', 'plugs']) stores.push(sorted(await all(name)));
    db.close();
    return JSON.stringify(stores);
  });
