/** The primary button of every screen is on top at its own centre, wherever the page is scrolled to. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { App } from '../support/app.ts';
import { DESK, launchBrowser, PHONE, type TestBrowser } from '../support/browser.ts';
import { walk } from '../support/walk.ts';

const SIZES = [{ width: 390, height: 844 }, { width: 360, height: 640 }, DESK];
const SCROLLED = ['top', 'middle', 'end'] as const;

let browser: TestBrowser;
let page: Page;
const looked: string[] = [];
const covered: string[] = [];

/** Number of primary buttons in view, and for each whose centre is not its own, what lies there. */
const primaryButtons = (scrolled: (typeof SCROLLED)[number]) =>
  page.evaluate((at) => {
    const { scrollHeight, clientHeight } = document.documentElement;
    const share = { top: 0, middle: 0.5, end: 1 }[at];
    scrollTo({ top: share * (scrollHeight - clientHeight), behavior: 'instant' });
    const buttons = [...document.querySelectorAll<HTMLElement>('.button.main')].filter((one) =>
      one.checkVisibility(),
    );
    const inView = buttons.flatMap((button) => {
      const box = button.getBoundingClientRect();
      const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
      return y > 0 && y < innerHeight ? [{ button, hit: document.elementFromPoint(x, y) }] : [];
    });
    return {
      count: inView.length,
      // A bar that stays at the bottom of the screen has its button in view wherever the page is.
      sticky: buttons.filter((one) => {
        const bar = one.closest('.action');
        return bar !== null && getComputedStyle(bar).position === 'sticky';
      }).length,
      covered: inView.flatMap(({ button, hit }) =>
        hit !== null && button.contains(hit)
          ? []
          : [`${button.textContent} is under ${hit?.outerHTML.slice(0, 80)}`],
      ),
    };
  }, scrolled);

async function look(name: string): Promise<void> {
  for (const size of SIZES) {
    await page.setViewportSize(size);
    for (const scrolled of SCROLLED) {
      const found = await primaryButtons(scrolled);
      if (found.count > 0) looked.push(name);
      const where = `${name}, ${size.width} x ${size.height}, ${scrolled}`;
      covered.push(...found.covered.map((what) => `${where}: ${what}`));
      if (found.count < found.sticky) covered.push(`${where}: a primary button is out of view`);
    }
  }
  await page.evaluate(() => scrollTo({ top: 0, behavior: 'instant' }));
  await page.setViewportSize(PHONE);
}

beforeAll(async () => {
  browser = await launchBrowser({ viewport: PHONE });
  page = await browser.open();
  await walk(new App(page, inject('appUrl')), look, 1);
});
afterAll(() => browser?.close());

it('can be pressed on every screen, at every size, top to end', () => {
  expect(new Set(looked).size).toBeGreaterThanOrEqual(10);
  expect(covered).toEqual([]);
});
