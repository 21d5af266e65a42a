/** A browser that reports a language for which `Intl` throws: the app works, in English. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser?.close());

it.each(['C', 'en-US@posix', ''])('opens its pages where the browser reports %j', async (tag) => {
  const page = await browser.open();
  await page.addInitScript((language) => {
    Object.defineProperty(Navigator.prototype, 'language', { get: () => language });
  }, tag);
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  await page.getByText(en.engines.empty).waitFor();
  // This screen formats figures.
  await app.goTo('/settings');
  expect(await app.heading.textContent()).toBe(en.settings.title);
  await page.close();
});
