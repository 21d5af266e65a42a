/** The build works below any path of a plain static host: links, deep addresses, reload, and without a network. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { type StaticHost, serveStatic } from '../support/static-host.ts';

const PATH = '/a/b/';

let host: StaticHost;
let browser: TestBrowser;
let app: App;

beforeAll(async () => {
  host = await serveStatic(inject('appFolder'), PATH);
  browser = await launchBrowser({ whole: true, serviceWorker: true });
  app = new App(await browser.open(), host.url);
});
afterAll(async () => {
  await browser?.close();
  await host?.close();
});

const pathNow = () => new URL(app.page.url()).pathname;
const newTest = { name: 'Sub-path engine', cylinders: 2 };

/** Addresses of all links of the page, resolved. */
const linksNow = () =>
  app.page.evaluate(() =>
    [...document.querySelectorAll<HTMLAnchorElement>('a[href]')].map((link) => link.href),
  );

it('walks from the engines to a new test below its path', async () => {
  await app.page.goto(host.url);
  await app.heading.waitFor();
  await app.link(en.engines.start).click();
  await app.page.waitForURL(`**${PATH}new`);
  await app.page.getByLabel(en.setup.name, { exact: true }).fill(newTest.name);
  await app.page.getByLabel(en.setup.count, { exact: true }).fill(String(newTest.cylinders));
  await app.button(en.setup.go).click();
  await app.page.waitForURL(`**${PATH}tests/*/prepare`);
  await app.step('crank');
  await app.page.getByText(en.crank.chooseSource).first().waitFor();
  expect((await linksNow()).filter((link) => !link.startsWith(host.url))).toEqual([]);
});

it.each([
  { path: 'settings', title: en.settings.title },
  { path: 'settings/', title: en.settings.title },
  { path: 'no/such/page', title: en.app.notFound },
])('opens $path on the first visit, before anything is stored offline', async ({ path, title }) => {
  const first = await browser.open();
  await first.goto(new URL(path, host.url).href);
  await first.getByRole('heading', { level: 1, name: title }).waitFor();
  await first.context().close();
});

it('reloads a deep address', async () => {
  const deep = pathNow();
  await app.page.reload();
  await app.page.getByText(en.crank.chooseSource).first().waitFor();
  expect(pathNow()).toBe(deep);
});

it('keeps the page when the skip link is pressed', async () => {
  const deep = pathNow();
  await app.page.evaluate(() => Object.assign(window, { same: true }));
  await app.page.locator('a.skip').press('Enter');
  await app.page.waitForURL('**#page');
  expect(pathNow()).toBe(deep);
  expect(await app.page.evaluate(() => 'same' in window)).toBe(true);
});

it('can be installed below its path', async () => {
  const session = await app.page.context().newCDPSession(app.page);
  const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
  expect(installabilityErrors.map(({ errorId }) => errorId)).toEqual(['in-incognito']);
  const { manifest, errors } = await session.send('Page.getAppManifest');
  expect(errors).toEqual([]);
  expect(manifest).toMatchObject({ startUrl: host.url, scope: host.url, id: host.url });
});

it('shows deep pages without a network, and has asked for nothing beyond its path', async () => {
  const deep = pathNow();
  const registered = await app.page.evaluate(async () => (await navigator.serviceWorker.ready).scope);
  expect(registered).toBe(host.url);
  await host.close();
  await expect(fetch(host.url)).rejects.toThrow();
  await app.page.goto(new URL(deep, host.url).href);
  await app.page.reload();
  await app.page.getByText(en.crank.chooseSource).first().waitFor();
  for (const path of ['', 'new', 'settings', 'no/such/page']) await app.goTo(path);
  expect(browser.requestsBeyond(host.url)).toEqual([]);
  expect(browser.complaints.filter((text) => !text.includes('ERR_CONNECTION_REFUSED'))).toEqual([]);
});
