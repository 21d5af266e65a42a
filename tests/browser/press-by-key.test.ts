/** Each link, button, box and cylinder of every page is pressed by its key, and the page takes it without a fault. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { DESK, launchBrowser, type TestBrowser } from '../support/browser.ts';
import { type Control, controlsAtRest, numberControls, pressByKey } from '../support/tab-order.ts';

let browser: TestBrowser;
let page: Page;
let app: App;
/** Of the page while it was pressed. */
const complaints: string[] = [];
/** Addresses of the pages of one engine and one test of it. */
let own: { engine: string; test: string };

/** Time for what a press begins to go wrong. */
const SETTLE_MS = 60;

const undone = new Set<string>();
/** What takes something away for good, unless it is undone. */
const DESTRUCTIVE: readonly string[] = [en.remove.test, en.card.remove, en.examples.remove];

beforeAll(async () => {
  browser = await launchBrowser({ viewport: DESK });
  page = await browser.open();
  // Both would wait for a person.
  await page.addInitScript(() => {
    window.print = () => undefined;
  });
  page.on('filechooser', () => undefined);
  // Of this page only: what another tab shows, such as the licences, is the browser's.
  page.on('pageerror', ({ message }) => complaints.push(message));
  page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()));
  app = new App(page, inject('appUrl'));
  await app.goTo('/');
  await app.button(en.examples.remove).waitFor();
  await page.locator('.engine-row').first().click();
  await page.waitForURL('**/engine/*');
  const engine = new URL(page.url()).pathname;
  await page.locator('.test-row').first().click();
  await page.waitForURL('**/tests/*/*');
  const test = new URL(page.url()).pathname.replace(/\/[^/]*$/, '');
  own = { engine, test };
});
afterAll(() => browser?.close());

const names = (controls: readonly Control[]) => controls.map(({ name }) => name).join('\n');

/** Presses each control of the page by key; opens the page anew where the press before has changed it. */
async function pressAll(path: string): Promise<string[]> {
  const ignored: string[] = [];
  await app.goTo(path);
  const first = await controlsAtRest(page);
  const url = page.url();
  for (let index = 0; index < first.length; index++) {
    let controls = await numberControls(page);
    if (page.url() !== url || names(controls) !== names(first)) {
      await app.goTo(path);
      controls = await controlsAtRest(page);
    }
    const control = controls[index];
    if (!control?.key) continue;
    if (!(await pressByKey(page, index, control.key))) ignored.push(control.name);
    await page.waitForTimeout(SETTLE_MS);
    if (!DESTRUCTIVE.includes(control.name)) continue;
    await app.button(en.remove.undo).click();
    await page.getByText(said(en.remove.undone)).waitFor();
    undone.add(control.name);
  }
  return ignored;
}

it.each([
  '/',
  '/new',
  '/open',
  '/engine',
  '/sensor',
  '/settings',
  '/check',
  '/nowhere',
  'ENGINE',
  'ENGINE/card',
  'ENGINE/plugs',
  'TEST/prepare',
  'TEST/crank',
  'TEST/judge',
  'TEST/keep',
  'TEST/compare',
  'TEST/report',
])('takes every press on %s', async (path) => {
  expect(await pressAll(path.replace('ENGINE', own.engine).replace('TEST', own.test))).toEqual([]);
  expect(complaints).toEqual([]);
});

it('has undone each of the presses that take something away', () => {
  expect([...undone].sort()).toEqual([...DESTRUCTIVE].sort());
});
