/** Without a network the app loads and measures from its cache, and updates only when the user agrees. */
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type PreviewServer, preview } from 'vite';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { root } from '../../build/install.mjs';
import { runtimePackages } from '../../build/licences.ts';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let folder: string;
let server: PreviewServer;
let browser: TestBrowser;
let app: App;

/** A request here stays open, as on an unreliable network. */
const NEVER_ANSWERS = '/never-answers';

const serve = (port: number) =>
  preview({
    root,
    logLevel: 'silent',
    plugins: [
      {
        name: 'never-answers',
        configurePreviewServer: ({ middlewares }) => void middlewares.use(NEVER_ANSWERS, () => undefined),
      },
    ],
    build: { outDir: folder },
    preview: { port, strictPort: port !== 0 },
  });

beforeAll(async () => {
  // A separate copy of the build, so that a newer version can replace it.
  folder = mkdtempSync(join(tmpdir(), 'strokebook-offline-'));
  cpSync(inject('appFolder'), folder, { recursive: true });
  server = await serve(0);
  browser = await launchBrowser({ whole: true, fastForward: true, serviceWorker: true });
  app = new App(await browser.open(), server.resolvedUrls!.local[0]!);
});
afterAll(async () => {
  await browser?.close();
  await server?.close();
  rmSync(folder, { recursive: true, force: true });
});

const runningVersion = () =>
  app.page.evaluate(() => document.querySelector<HTMLMetaElement>('meta[name="build"]')?.content);

const newestStored = () => app.page.evaluate(async () => (await caches.keys()).at(-1));

/** First line of the support report. */
async function namedInReport(): Promise<string | undefined> {
  await app.goTo('/settings');
  const report = app.page.getByRole('textbox', { name: en.support.title });
  await expect.poll(() => report.inputValue()).toContain('Last connection:');
  return (await report.inputValue()).split('\n')[0];
}

async function crankOnce(): Promise<void> {
  await app.goTo('/');
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
  await app.arm();
  await app.button(en.crank.turnStarter).click();
  await app.fastForwardTo(en.phase.moving);
}

it('can be installed: the manifest has name, start address and display mode', async () => {
  await app.goTo('/');
  const session = await app.page.context().newCDPSession(app.page);
  const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
  // Test pages are private windows, from which a browser installs nothing.
  expect(installabilityErrors.map(({ errorId }) => errorId)).toEqual(['in-incognito']);
  const { data, errors, manifest } = await session.send('Page.getAppManifest');
  expect(errors).toEqual([]);
  expect(JSON.parse(data!)).toMatchObject({ name: 'Strokebook', display: 'standalone' });
  // The id of installed apps: another one would install a second app beside the first.
  expect(manifest).toMatchObject({ startUrl: app.url, scope: app.url, id: app.url });
});

it('loads every screen, measures and judges with the server gone', async () => {
  await app.page.evaluate(() => navigator.serviceWorker.ready);
  await server.close();
  await expect(fetch(app.url)).rejects.toThrow();
  await app.page.reload();
  await crankOnce();
  await app.step('judge');
  expect((await app.finalsInTable())[0]).toBeGreaterThan(100);
  for (const path of ['/new', '/open', '/sensor', '/settings', '/nowhere']) await app.goTo(path);
  expect(await namedInReport()).toBe(`Strokebook ${await runningVersion()}`);
  expect(await newestStored()).toBe(`strokebook-${await runningVersion()}`);
  expect(browser.requestsBeyond(app.url)).toEqual([]);
});

it('shows the licences of all shipped packages without a network', async () => {
  const answer = await app.page.goto(new URL('/licences.txt', app.url).href);
  const text = (await answer?.text()) ?? '';
  for (const name of runtimePackages(root).keys()) expect(text).toContain(`${name} `);
  expect(text.match(/permission|Apache License/gi)?.length).toBeGreaterThanOrEqual(
    runtimePackages(root).size,
  );
  await app.goTo('/settings');
  await app.link(en.support.licences).waitFor();
});

it('updates when the user agrees, not before, and never while measuring', async () => {
  const page = join(folder, 'index.html');
  writeFileSync(page, readFileSync(page, 'utf8').replace('<html ', '<html data-version="newer" '));
  const worker = join(folder, 'service-worker.js');
  writeFileSync(worker, readFileSync(worker, 'utf8').replace(/"version":"[^"]*"/, '"version":"newer"'));
  server = await serve(Number(new URL(app.url).port));
  const version = () => app.page.evaluate(() => document.documentElement.dataset.version ?? 'first');
  const offer = app.page.getByText(en.update.ready);
  const running = await runningVersion();

  // The update arrives during a measurement: no message appears.
  await app.goTo('/');
  await app.button(en.engines.simulate).or(app.link(en.engines.simulate)).first().click();
  await app.sensorLine.waitFor();
  await app.arm();
  await app.button(en.crank.turnStarter).waitFor();
  await app.page.evaluate(async () => {
    const registration = await navigator.serviceWorker.ready;
    await registration.update();
    while (!registration.waiting) await new Promise((resolve) => setTimeout(resolve, 20));
  });
  expect(await offer.count()).toBe(0);

  await app.button(en.crank.disarm).click();
  await offer.waitFor();
  // After a look, a reload and a pause it is still the old version.
  await app.page.reload();
  await offer.waitFor();
  expect(await version()).toBe('first');
  // It shows its own version, although a newer one waits in the cache.
  expect(await newestStored()).toBe('strokebook-newer');
  expect(await runningVersion()).toBe(running);

  // A request that the old version still waits for must not delay the new one.
  await app.page.evaluate((path) => void fetch(path).catch(() => undefined), NEVER_ANSWERS);
  await app.button(en.update.use).click();
  await app.page.waitForFunction(() => document.documentElement.dataset.version === 'newer');
  await app.heading.waitFor();
  expect(await offer.count()).toBe(0);
});
