/** Every screen by Tab alone: controls in document order, with a visible focus and a name; live regions without contradiction. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { DESK, launchBrowser, type TestBrowser } from '../support/browser.ts';
import { allowFastForward } from '../support/fast-forward.ts';
import { tabThrough } from '../support/tab-order.ts';
import { visitScreens } from '../support/visit-screens.ts';

let browser: TestBrowser;
let page: Page;
const orders: { name: string; expected: readonly string[]; reached: readonly string[] }[] = [];
const unseen: string[] = [];
const nameless: string[] = [];
const contradictions: string[] = [];

/** Live regions whose role and `aria-live` contradict each other. */
const contradicting = () =>
  page.evaluate(() =>
    [...document.querySelectorAll('[aria-live][role]')]
      .filter((one) => {
        const implied = { status: 'polite', log: 'polite', alert: 'assertive' }[one.getAttribute('role')!];
        return implied !== undefined && implied !== one.getAttribute('aria-live');
      })
      .map((one) => one.outerHTML.slice(0, 100)),
  );

async function look(name: string): Promise<void> {
  const found = await tabThrough(page);
  orders.push({ name, expected: found.expected, reached: found.reached });
  unseen.push(...found.unseen.map((one) => `${name}: ${one}`));
  nameless.push(...found.nameless.map((one) => `${name}: ${one}`));
  contradictions.push(...(await contradicting()).map((one) => `${name}: ${one}`));
}

beforeAll(async () => {
  browser = await launchBrowser({ viewport: DESK, examples: true });
  page = await browser.open();
  await allowFastForward(page.context());
  const app = new App(page, inject('appUrl'));
  // The examples arrive by themselves, in the middle of the test of the first page.
  await app.goTo('/');
  await app.button(en.examples.remove).waitFor();
  await visitScreens(app, look, 1);
});
afterAll(() => browser?.close());

it('reaches every control of every screen in document order', () => {
  expect(orders.length).toBeGreaterThanOrEqual(17);
  for (const { name, expected, reached } of orders) {
    expect(expected.length, name).toBeGreaterThanOrEqual(3);
    expect(reached, name).toEqual(expected);
  }
});

it('shows the focus on each', () => {
  expect(unseen).toEqual([]);
});

it('has a name for each', () => {
  expect(nameless).toEqual([]);
});

it('has live regions whose role and urgency agree', () => {
  expect(contradictions).toEqual([]);
});

it('causes no errors', () => {
  expect(browser.complaints).toEqual([]);
});
