/** A second language consists of its words and one line: every screen in a made-up language. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { type ServedApp, serveBuiltApp } from '../support/built-app.ts';
import { MADE_UP, madeUpLanguage } from '../support/made-up-language.ts';
import { visitScreens } from '../support/visit-screens.ts';

// The helper finds buttons by their text, so it needs the same words.
vi.mock('../../src/copy/en.ts', async (original) => {
  const { madeUp } = await import('../support/made-up-language.ts');
  const { en } = await original<typeof import('../../src/copy/en.ts')>();
  return { en: madeUp(en) };
});

let served: ServedApp;
let browser: TestBrowser;
let page: Page;
/** Plain letters that were found, and the first place of each. */
const strange = new Map<string, string>();
const screens: string[] = [];
/** Figures with a decimal point and the first place of each, and the number of figures with a decimal comma, as in Greek. */
const pointed = new Map<string, string>();
let commas = 0;

/** Records every text ever written into the page: visible, for screen readers, or in a plot. */
function watchWriting(): void {
  const written = new Set<string>();
  Object.assign(window, { written });
  const attributes = ['aria-label', 'aria-description', 'aria-valuetext', 'title', 'alt', 'placeholder'];
  const read = (node: Node): void => {
    if (node instanceof Text) {
      if (!node.parentElement?.closest('script, style')) written.add(node.data);
      return;
    }
    if (!(node instanceof Element)) return;
    for (const name of attributes) {
      const value = node.getAttribute(name);
      if (value !== null) written.add(`${name}: ${value}`);
    }
    for (const child of node.childNodes) read(child);
  };
  new MutationObserver((changes) => {
    for (const { target, addedNodes, type } of changes) {
      if (type === 'childList') addedNodes.forEach(read);
      else read(target);
    }
  }).observe(document, {
    subtree: true,
    childList: true,
    characterData: true,
    attributes: true,
    attributeFilter: attributes,
  });
  const { fillText } = CanvasRenderingContext2D.prototype;
  CanvasRenderingContext2D.prototype.fillText = function write(text, ...where) {
    written.add(text);
    fillText.call(this, text, ...where);
  };
}

/**
 * Allowed in Latin letters: units and formats, the same in every language; names of this app, of a language in its own
 * words, of what the test supplied; the address of a page; and a fingerprint.
 */
const SAME_IN_ANY =
  /\bhttps?:\/\/[\w.:/-]+|^(inHg|ft|mi|in)$|\b(kPa|psi|bar|MPa|hPa|mm|km|m|V|h|rpm|CSV)\b|kgf\/cm²|°[CF]|Strokebook|English|Workshop four|c1\.csv|logger-\d\.csv|\b[0-9a-f]{4}( [0-9a-f]{4}){3,}\b/g;

/** In Greek a point groups three digits, and a comma precedes decimals. */
const DECIMAL_POINT = /(?<![\d.,])\d+\.(?:\d{1,2}|\d{4,})(?![\d.,])/;
const DECIMAL_COMMA = /\d,\d/;

async function look(name: string): Promise<void> {
  screens.push(name);
  const texts = await page.evaluate(() => {
    const { written } = window as unknown as { written: Set<string> };
    const texts = [...written, document.title];
    written.clear();
    return texts;
  });
  for (const line of texts.flatMap((text) => text.split('\n'))) {
    const words = line.replace(/^(aria-[a-z]+|title|alt|placeholder): /, '');
    if (DECIMAL_POINT.test(words) && !pointed.has(words))
      pointed.set(words, `${name}: ${line.slice(0, 200)}`);
    if (DECIMAL_COMMA.test(words)) commas++;
    if (!/[A-Za-z]/.test(words.replace(SAME_IN_ANY, ''))) continue;
    if (!strange.has(words)) strange.set(words, `${name}: ${line.slice(0, 200)}`);
  }
}

const NO_UNIT = 'time_s,pressure_kpa\n0,1\n';

/** Examples on a first start, a sensor that sends, and an unreadable file. */
async function lookAtMore(app: App): Promise<void> {
  await app.goTo('/');
  await app.engineRows.nth(2).waitFor();
  await look('00-examples');
  await app.engineRows.first().click();
  await page.getByRole('heading', { level: 2 }).first().waitFor();
  await look('00-example');
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [
    { name: 'c1.csv', mimeType: 'text/csv', buffer: Buffer.from(NO_UNIT) },
  ]);
  await app.button(en.open.go).waitFor();
  await look('00-recording');
  await app.chooseFiles(en.open.chooseOthers, [
    { name: 'c1.csv', mimeType: 'text/csv', buffer: Buffer.from('0,1\n5,2\n10,1\n') },
  ]);
  await page.locator('.columns-offer .button').click();
  const dialog = page.getByRole('dialog');
  await dialog.getByRole('radio').nth(1).check();
  await dialog.locator('[type=submit]').click();
  await look('00-columns');
  // A choice may bring further ones.
  const groups = dialog.locator('.choice');
  for (let i = 0; i < (await groups.count()); i++) await groups.nth(i).getByRole('radio').nth(1).check();
  await look('00-columns-sensor');
}

beforeAll(async () => {
  served = await serveBuiltApp([madeUpLanguage()]);
  browser = await launchBrowser({ locale: 'el-GR', fastForward: true, examples: true });
  page = await browser.open();
  await page.addInitScript(watchWriting);
  const app = new App(page, served.url);
  await lookAtMore(app);
  await visitScreens(app, look, 1);
});
afterAll(async () => {
  await browser?.close();
  await served?.close();
});

it('supplies all text of every screen', () => {
  expect(screens.length).toBeGreaterThanOrEqual(17);
  expect([...strange.values()]).toEqual([]);
});

it('formats figures by its locale', () => {
  expect(commas).toBeGreaterThan(20);
  expect([...pointed.values()]).toEqual([]);
});

it('is the page’s `lang` for screen readers', async () => {
  expect(await page.evaluate(() => document.documentElement.lang)).toBe(MADE_UP);
});
