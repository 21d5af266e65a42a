/** Two devices on one shared library: join by the code, see each other's tests, go on while the server is gone. */
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { preview } from 'vite';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { root } from '../../build/install.mjs';
import { openSharing } from '../../build/share/sharing.mjs';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
let folder: string;
let garage: Garage;

interface Garage {
  readonly url: string;
  readonly secret: string;
  close(): Promise<void>;
}

/** As `npm start -- --share`, on the built app of the tests. */
async function startGarage(port = 0): Promise<Garage> {
  const sharing = await openSharing(folder);
  const vite = await preview({
    root,
    build: { outDir: inject('appFolder') },
    plugins: [
      { name: 'share', configurePreviewServer: ({ middlewares }) => void middlewares.use(sharing.handle) },
    ],
    preview: { port: 0 },
  });
  const server: Server = createServer(vite.middlewares);
  server.on('upgrade', sharing.upgrade);
  server.listen(port, '127.0.0.1');
  await once(server, 'listening');
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    secret: sharing.secret,
    async close() {
      await sharing.close();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
      await vite.close();
    },
  };
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'strokebook-garage-'));
  [browser, garage] = [await launchBrowser(), await startGarage()];
});
afterAll(async () => {
  await browser?.close();
  await garage?.close();
  rmSync(folder, { recursive: true, force: true });
});

async function joinAs(name: string): Promise<App> {
  const app = new App(await browser.open(), garage.url);
  await app.goTo(`share#join=${garage.secret}`);
  await app.page.getByLabel(en.share.deviceName).fill(name);
  await app.button(en.share.join).click();
  await app.page.getByText(en.share.state.together).waitFor();
  return app;
}

async function addEngine(app: App, name: string): Promise<void> {
  await app.goTo('engine');
  await app.page.getByLabel(en.setup.name, { exact: true }).fill(name);
  await app.button(en.card.save).click();
  await app.page.getByRole('heading', { name }).waitFor();
}

it('keeps two devices in step, also when the server was gone meanwhile', async () => {
  const [phone, office] = [await joinAs('Phone'), await joinAs('Office')];
  await office.goTo('/');
  await addEngine(phone, 'Blue van');
  await office.engineRows.filter({ hasText: 'Blue van' }).waitFor({ timeout: 5000 });

  const port = Number(new URL(garage.url).port);
  await garage.close();
  await phone.page.goto('about:blank');
  garage = await startGarage(port);
  await addEngine(office, 'Red tractor');
  await phone.goTo('/');
  await phone.engineRows.filter({ hasText: 'Red tractor' }).waitFor({ timeout: 30_000 });
  await phone.goTo('share');
  await phone.page.getByText(en.share.state.together).waitFor();
  await phone.page.getByText('Office', { exact: false }).first().waitFor();
  expect(browser.requestsBeyond(garage.url)).toEqual([]);
});
