/** From the first page to a figure and its verdict by keyboard alone, with a visible focus throughout. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { DESK, launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
let page: Page;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser({ viewport: DESK, fastForward: true });
  page = await browser.open();
  app = new App(page, inject('appUrl'));
});
afterAll(() => browser?.close());

const MOST_TABS = 60;
/** Names of controls whose focus was not visible. */
const unseen: string[] = [];

/** Least width of the focus outline, CSS pixels: the browser's own is too thin for sunlight. */
const LEAST_LINE = 2;

const focused = () =>
  page.evaluate((least) => {
    const element = document.activeElement;
    if (!element || element === document.body) return { name: '', isSeen: true };
    // The heading of a new screen is focused only so that it is read out; it is no control.
    if (element.matches('h1[tabindex="-1"]')) return { name: 'heading', isSeen: true };
    const name = element.getAttribute('aria-label') ?? element.textContent?.trim() ?? '';
    const isOutlined = (one: Element | null): boolean => {
      if (!one) return false;
      const { outlineStyle, outlineWidth, opacity } = getComputedStyle(one);
      return opacity !== '0' && outlineStyle === 'solid' && Number.parseFloat(outlineWidth) >= least;
    };
    // Choices show the focus on their label, fields on the line under them, parts of a plan on their rim.
    const line = element.closest('.field .line');
    const rim = element.querySelector('.touch');
    const isSeen =
      isOutlined(element) ||
      isOutlined(element.closest('label')) ||
      (line !== null && getComputedStyle(line).boxShadow !== 'none') ||
      (rim !== null &&
        Number.parseFloat(getComputedStyle(rim).strokeWidth) >= least &&
        getComputedStyle(rim).stroke !== 'none');
    return { name: name || element.outerHTML.slice(0, 80), isSeen };
  }, LEAST_LINE);

/** Presses Tab until this control has the focus. */
async function tabTo(name: string): Promise<void> {
  for (let tabs = 0; tabs < MOST_TABS; tabs++) {
    await page.keyboard.press('Tab');
    const at = await focused();
    if (!at.isSeen) unseen.push(at.name);
    if (at.name === name) return;
  }
  expect.fail(`Tab never came to ${name}`);
}

async function press(name: string): Promise<void> {
  await tabTo(name);
  await page.keyboard.press('Enter');
}

it('measures and judges a simulated engine by keyboard alone', async () => {
  await app.goTo('/');
  await tabTo(en.app.skipToPage);
  await press(en.engines.simulate);
  await app.sensorLine.waitFor();
  await press(en.crank.arm);
  await app.button(en.crank.turnStarter).waitFor();
  await press(en.crank.turnStarter);
  await app.fastForwardTo(en.phase.moving);
  expect(await app.figureNow()).toBeGreaterThan(100);
  await press(en.step.judge);
  await app.page.waitForURL('**/judge');
  await press(en.results.compare);
  await app.page.getByRole('heading', { name: en.compare.title }).first().waitFor();
});

it('chooses among options with the arrows', async () => {
  await app.goTo('/settings');
  const chosen = page.getByRole('radio', { checked: true }).first();
  const before = await chosen.inputValue();
  await chosen.focus();
  await page.keyboard.press('ArrowRight');
  expect(await chosen.inputValue()).not.toBe(before);
});

it('copies the log of the last connection, also after a reload', async () => {
  await page.context().grantPermissions(['clipboard-write']);
  // The page may not read the clipboard, so its writes are recorded.
  await page.addInitScript(() => {
    const { clipboard } = navigator;
    const write = clipboard.writeText.bind(clipboard);
    clipboard.writeText = (text) => {
      document.documentElement.dataset.copied = text;
      return write(text);
    };
  });
  await app.goTo('/settings');
  const report = page.getByRole('textbox', { name: en.support.title });
  await expect.poll(() => report.inputValue()).toMatch(/streaming packed stream, \d+\/s/);
  await app.button(en.support.copy).focus();
  await page.keyboard.press('Enter');
  await page.getByText(en.support.copied, { exact: true }).waitFor();
  const copied = await page.evaluate(() => document.documentElement.dataset.copied ?? '');
  expect(copied).toMatch(/connecting \(simulated\)/);
  // It contains nothing about the engine or the sensor.
  expect(copied).not.toContain(en.engines.simulatedName);
});

/** The plan's name of a cylinder; its state follows. */
const cylinder = (n: number) => app.page.getByRole('button', { name: new RegExp(`^Cylinder ${n}\\b`) });

async function tabToCylinder(n: number): Promise<void> {
  const wanted = await cylinder(n).first().getAttribute('aria-label');
  await tabTo(wanted!);
}

it('chooses a cylinder on the plan', async () => {
  await app.goTo('/');
  await press(en.engines.simulate);
  await app.sensorLine.waitFor();
  await tabToCylinder(3);
  await page.keyboard.press('Enter');
  await expect.poll(() => cylinder(3).first().getAttribute('aria-pressed')).toBe('true');
});

it('renumbers the plan', async () => {
  await app.goTo('/new');
  await page.getByRole('radio', { name: en.planEditor.mode.swap }).focus();
  await page.keyboard.press('Space');
  await tabToCylinder(1);
  await page.keyboard.press('Enter');
  await expect.poll(() => cylinder(1).first().getAttribute('aria-pressed')).toBe('true');
  await tabToCylinder(2);
  await page.keyboard.press('Space');
  await page.getByText(said(en.planEditor.swapped)).waitFor();
});

/** Tab begins with the first control of the page, even when its heading has taken the focus. */
const startAtTop = () =>
  page.evaluate(() => {
    document.body.tabIndex = -1;
    document.body.focus();
    document.body.removeAttribute('tabindex');
  });

it.each([
  ['/new', 12],
  ['/open', 4],
  ['/sensor', 3],
  ['/settings', 8],
  ['/check', 1],
])('reaches every control on %s with Tab', async (path, least) => {
  await app.goTo(path);
  await startAtTop();
  const names = new Set<string>();
  for (let tabs = 0; tabs < MOST_TABS; tabs++) {
    await page.keyboard.press('Tab');
    const { name, isSeen } = await focused();
    if (name === '') break;
    if (!isSeen) unseen.push(`${path}: ${name}`);
    names.add(name);
  }
  expect(names.size).toBeGreaterThanOrEqual(least);
});

it('always shows where the focus is', () => {
  expect(unseen).toEqual([]);
});
