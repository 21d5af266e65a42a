/** Every screen: axe-core, touch targets, even rows, no overflow on a small phone, no motion. */
import { source as axeSource } from 'axe-core';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { App } from '../support/app.ts';
import { DESK, launchBrowser, PHONE, type TestBrowser } from '../support/browser.ts';
import { visitScreens } from '../support/visit-screens.ts';

const SMALL_PHONE = { width: 360, height: 780 };
const SIZES = [PHONE, { width: 360, height: 640 }, DESK];
const SCROLLED = ['top', 'middle', 'end'] as const;
/** Smallest touch target in CSS pixels, both ways. */
const LEAST_TARGET = 48;

let browser: TestBrowser;
let page: Page;
/** Findings by screen. */
const violations: string[] = [];
const smallTargets: string[] = [];
const overflows: string[] = [];
const moving: string[] = [];
const looked: string[] = [];
const withPrimary: string[] = [];
const covered: string[] = [];
const unevenRows: string[] = [];
const sideways: string[] = [];

/** Rules by name; all rules when omitted. */
async function axe(rules?: readonly string[]): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(async (only) => {
    const { axe } = window as unknown as { axe: typeof import('axe-core') };
    const options = only ? { runOnly: { type: 'rule' as const, values: [...only] } } : {};
    const found = await axe.run(document, { ...options, resultTypes: ['violations'] });
    return found.violations.flatMap(({ id, nodes }) =>
      nodes.map(
        (node) => `${id}: ${node.html.slice(0, 140)} (${node.any[0]?.message ?? node.all[0]?.message ?? ''})`,
      ),
    );
  }, rules);
}

/** Controls smaller than a gloved thumb. A link inside a sentence is exempt: it is as high as its line. */
const tooSmall = () =>
  page.evaluate((least) => {
    const isInSentence = (element: Element) =>
      element.tagName === 'A' &&
      element.parentElement?.tagName === 'P' &&
      (element.parentElement.textContent ?? '').trim() !== (element.textContent ?? '').trim();
    return [
      ...document.querySelectorAll('a[href], button, input, select, textarea, summary, [role="button"]'),
    ]
      .filter((element) => element.checkVisibility() && !isInSentence(element) && !element.matches('.skip'))
      .flatMap((element) => {
        // A press on the label is a press on the box.
        const target = element.closest('label') ?? element;
        const { width, height } = target.getBoundingClientRect();
        const name =
          (element.textContent ?? '').trim() ||
          element.getAttribute('aria-label') ||
          element.outerHTML.slice(0, 80);
        const isFine = Math.min(width, height) >= least - 0.5;
        return isFine ? [] : [`${name}: ${Math.round(width)} x ${Math.round(height)}`];
      });
  }, LEAST_TARGET);

/** Text fields that start at one height and whose entry lines do not. */
const uneven = () =>
  page.evaluate(() =>
    [...document.querySelectorAll('.fields')].flatMap((group) => {
      const fields = [...group.querySelectorAll<HTMLElement>('.field')].filter((one) =>
        one.checkVisibility(),
      );
      return fields.flatMap((field, i) => {
        const next = fields[i + 1];
        const [lineEnd, nextEnd] = [field, next].map(
          (one) => one?.querySelector('.line')?.getBoundingClientRect().bottom ?? 0,
        );
        const isBeside =
          next && Math.abs(field.getBoundingClientRect().top - next.getBoundingClientRect().top) < 1;
        return isBeside && Math.abs(lineEnd! - nextEnd!) > 0.5
          ? [`${field.textContent} | ${next.textContent}`]
          : [];
      });
    }),
  );

/** Tables that a finger would have to push sideways. */
const wideTables = () =>
  page.evaluate(() =>
    [...document.querySelectorAll('.scroll')]
      .filter((one) => one.checkVisibility() && one.scrollWidth > one.clientWidth)
      .map((one) => `${one.getAttribute('aria-label')}: ${one.scrollWidth} of ${one.clientWidth} px`),
  );

/** Number of primary buttons in view, and for each whose centre is covered, what covers it. */
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
      // A bar fixed to the bottom of the screen has its button in view at every scroll position.
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

/** The primary button is on top at its own centre, at every scroll position. */
async function pressPrimaries(name: string): Promise<void> {
  for (const size of SIZES) {
    await page.setViewportSize(size);
    for (const scrolled of SCROLLED) {
      const found = await primaryButtons(scrolled);
      if (found.count > 0) withPrimary.push(name);
      const where = `${name}, ${size.width} x ${size.height}, ${scrolled}`;
      covered.push(...found.covered.map((what) => `${where}: ${what}`));
      if (found.count < found.sticky) covered.push(`${where}: a primary button is out of view`);
    }
  }
  await page.evaluate(() => scrollTo({ top: 0, behavior: 'instant' }));
  await page.setViewportSize(SMALL_PHONE);
}

async function look(name: string): Promise<void> {
  looked.push(name);
  const addTo = (list: string[], found: readonly string[]) =>
    list.push(...found.map((one) => `${name}: ${one}`));
  const { wide, animations } = await page.evaluate(() => ({
    wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    animations: document.getAnimations().length,
  }));
  if (wide > 0) overflows.push(`${name}: ${wide} px too wide`);
  if (animations > 0) moving.push(`${name}: ${animations}`);
  addTo(smallTargets, await tooSmall());
  addTo(unevenRows, await uneven());
  addTo(sideways, await wideTables());
  addTo(violations, await axe());
  await page.emulateMedia({ colorScheme: 'dark' });
  addTo(
    violations,
    (await axe(['color-contrast'])).map((one) => `at night, ${one}`),
  );
  await page.emulateMedia({ colorScheme: 'light' });
  await pressPrimaries(name);
}

beforeAll(async () => {
  browser = await launchBrowser({ viewport: SMALL_PHONE, fastForward: true, examples: true });
  page = await browser.open();
  await visitScreens(new App(page, inject('appUrl')), look, 1);
});
afterAll(() => browser?.close());

it('visits every screen', () => {
  expect(looked.length).toBeGreaterThanOrEqual(17);
});

it('passes axe-core, light and dark', () => {
  expect(violations).toEqual([]);
});

it('has primary buttons that can be pressed at every size, from the top of the page to its end', () => {
  expect(new Set(withPrimary).size).toBeGreaterThanOrEqual(10);
  expect(covered).toEqual([]);
});

it('has targets of 48 px and more', () => {
  expect(smallTargets).toEqual([]);
});

it('stays within a phone of 360 px', () => {
  expect(overflows).toEqual([]);
});

it('has the entry lines of fields beside one another at one height', () => {
  expect(unevenRows).toEqual([]);
});

it('has tables that fit a phone of 360 px', () => {
  expect(sideways).toEqual([]);
});

it('has no motion where reduced motion is preferred', () => {
  expect(moving).toEqual([]);
});

it('violates no content security policy on any screen and causes no errors', () => {
  expect(browser.complaints).toEqual([]);
});
