/** File inputs are in the document: WebKit drops a detached one while its dialog is open. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
let page: Page;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser();
  page = await browser.open();
  await page.addInitScript(() => {
    const { click } = HTMLInputElement.prototype;
    HTMLInputElement.prototype.click = function () {
      document.documentElement.dataset.asked = String(this.isConnected);
      click.call(this);
    };
  });
  app = new App(page, inject('appUrl'));
});
afterAll(() => browser?.close());

const asked = () => page.evaluate(() => document.documentElement.dataset.asked);
const inputs = () => page.locator('input[type=file]').count();

it('keeps the input in the document until files are chosen', async () => {
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [{ name: 'a.csv', mimeType: 'text/csv', buffer: Buffer.from('no') }]);
  await page.getByText('a.csv').first().waitFor();
  expect(await asked()).toBe('true');
  expect(await inputs()).toBe(0);
});

it('leaves nothing behind when the dialog is cancelled', async () => {
  await app.goTo('/open');
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), app.button(en.open.choose).click()]);
  expect(await inputs()).toBe(1);
  await chooser.element().evaluate((input) => input.dispatchEvent(new Event('cancel')));
  expect(await inputs()).toBe(0);
});
