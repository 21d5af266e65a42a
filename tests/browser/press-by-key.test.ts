/** Each link, button, box and cylinder of every page is pressed by its key; the page handles each press without an error. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { DESK, launchBrowser, type TestBrowser } from '../support/browser.ts';
import { controlNamed, controlsAtRest, numberControls, pressByKey } from '../support/tab-order.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser({ viewport: DESK, examples: true });
});
afterAll(() => browser?.close());

/** Time for the effects of a press to fail, ms. */
const SETTLE_MS = 60;

/** Buttons that remove something for good, unless it is undone. */
const DESTRUCTIVE: readonly string[] = [en.remove.test, en.examples.remove];

/** Controls that disappear once another press has done the same. */
const PASSING: readonly string[] = [en.files.toBackup];

/** On every page: pressed on the first page of a visit. */
const SHELL: readonly string[] = [en.app.skipToPage, en.app.name, en.app.sensor, en.app.settings];

interface Visit {
  readonly app: App;
  readonly page: Page;
  /** Addresses of the pages of one engine and one test of it. */
  readonly engine: string;
  readonly test: string;
  /** Errors of the page while it was pressed. */
  readonly complaints: string[];
  /** Destructive presses that were undone. */
  readonly undone: string[];
}

/** A separate browser profile with the example engines. */
async function visit(): Promise<Visit> {
  const page = await browser.open();
  const complaints: string[] = [];
  // Both would wait for user input.
  await page.addInitScript(() => {
    window.print = () => undefined;
  });
  page.on('filechooser', () => undefined);
  // Errors of this page only: another tab, such as the licences, shows the browser's own viewer.
  page.on('pageerror', ({ message }) => complaints.push(message));
  page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()));
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  await app.button(en.examples.remove).waitFor();
  await app.engineRows.first().click();
  await page.waitForURL('**/engine/*');
  const engine = new URL(page.url()).pathname;
  await app.testRows.first().click();
  await page.waitForURL('**/tests/*/*');
  const test = new URL(page.url()).pathname.replace(/\/[^/]*$/, '');
  return { app, page, engine, test, complaints, undone: [] };
}

/** Presses the control with this name, found again where the page replaced it meanwhile. */
async function pressNamed(page: Page, name: string, key: 'Enter' | 'Space'): Promise<boolean> {
  for (;;) {
    const index = await controlNamed(page, name);
    const pressed = index === null ? false : await pressByKey(page, index, key);
    if (pressed !== null) return pressed;
  }
}

/** Presses each control of the page by key, reloading after a change. Returns the controls without effect and those missing. */
async function pressAll({ app, page, undone }: Visit, path: string, isFirst: boolean): Promise<string[]> {
  const ignored: string[] = [];
  await app.goTo(path);
  const controls = await controlsAtRest(page);
  const url = page.url();
  const names = controls.map(({ name }) => name).join('\n');
  for (const { name, key } of controls.filter(
    (one) => one.key !== null && (isFirst || !SHELL.includes(one.name)),
  )) {
    const now = (await numberControls(page)).map((one) => one.name).join('\n');
    if (page.url() !== url || now !== names) await app.goTo(path);
    const index = await controlNamed(page, name);
    if (index === null && PASSING.includes(name)) continue;
    if (index === null || key === null || !(await pressNamed(page, name, key))) {
      ignored.push(`${path}: ${name}`);
      continue;
    }
    await page.waitForTimeout(SETTLE_MS);
    if (!DESTRUCTIVE.includes(name)) continue;
    await app.button(en.remove.undo).click();
    await page.getByText(said(en.remove.undone)).waitFor();
    undone.push(name);
  }
  return ignored;
}

it.concurrent.each([
  {
    pages: ['/', '/new', '/open', '/engine', '/sensor', '/settings', '/check', '/nowhere'],
    removes: [en.examples.remove],
  },
  { pages: ['ENGINE', 'ENGINE/card', 'ENGINE/plugs'], removes: [] },
  { pages: ['TEST/prepare', 'TEST/crank', 'TEST/judge'], removes: [] },
  { pages: ['TEST/keep', 'TEST/compare', 'TEST/report'], removes: [en.remove.test] },
])('responds to every press on $pages', { timeout: 180_000 }, async ({ pages, removes }) => {
  const visited = await visit();
  const ignored: string[] = [];
  for (const path of pages) {
    const address = path.replace('ENGINE', visited.engine).replace('TEST', visited.test);
    ignored.push(...(await pressAll(visited, address, path === pages[0])));
  }
  expect(ignored).toEqual([]);
  expect(visited.complaints).toEqual([]);
  expect([...new Set(visited.undone)]).toEqual(removes);
  await visited.page.close();
});
