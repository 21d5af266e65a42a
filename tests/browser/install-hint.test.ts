/** The hint that the app can be installed: where, how, never while measuring, and never again once dismissed. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser?.close());

const hint = (app: App) => app.page.getByRole('heading', { name: en.install.title });

/** Offers installation as Chromium does. Returns whether the app keeps the browser's own bar away. */
const offer = (page: Page): Promise<boolean> =>
  page.evaluate(() => {
    const event = new Event('beforeinstallprompt', { cancelable: true });
    const counted = window as unknown as { prompts: number };
    counted.prompts = 0;
    Object.assign(event, { prompt: async () => counted.prompts++ });
    dispatchEvent(event);
    return event.defaultPrevented;
  });

it('opens the prompt of the browser once', async () => {
  const app = new App(await browser.open(), inject('appUrl'));
  await app.goTo('settings');
  expect(await hint(app).count()).toBe(0);
  expect(await offer(app.page)).toBe(true);
  await hint(app).waitFor();
  await app.button(en.install.go).click();
  await hint(app).waitFor({ state: 'detached' });
  expect(await app.page.evaluate(() => (window as unknown as { prompts: number }).prompts)).toBe(1);
});

it('is hidden while measuring', async () => {
  const app = new App(await browser.open(), inject('appUrl'));
  await app.goTo('./');
  await offer(app.page);
  await app.button(en.engines.simulate).click();
  await app.step('keep');
  await hint(app).waitFor();
  await app.step('crank');
  await app.arm();
  await app.button(en.crank.stop).or(app.button(en.crank.disarm)).first().waitFor();
  await app.step('keep');
  await app.page.getByRole('heading', { name: en.export.note }).waitFor();
  expect(await hint(app).count()).toBe(0);
});

it('does not come back once dismissed', async () => {
  const app = new App(await browser.open(), inject('appUrl'));
  await app.goTo('settings');
  await offer(app.page);
  await app.button(en.install.never).click();
  await hint(app).waitFor({ state: 'detached' });
  await app.page.reload();
  await app.heading.waitFor();
  expect(await offer(app.page)).toBe(false);
  await app.page.waitForTimeout(200);
  expect(await hint(app).count()).toBe(0);
});

it('names the share menu on an iPhone, which has no prompt', async () => {
  const page = await browser.open();
  await page.addInitScript(() => {
    Object.assign(navigator, { standalone: false });
    Object.defineProperty(navigator, 'maxTouchPoints', { value: 5 });
  });
  const app = new App(page, inject('appUrl'));
  await app.goTo('settings');
  await hint(app).waitFor();
  expect(await page.getByText(en.install.shareMenu).count()).toBe(1);
  expect(await app.button(en.install.go).count()).toBe(0);
});
