/** Traces zoom with fingers and with keys. */
import type { CDPSession } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

const engine = makeEngine({ layout: presetLayout('inline', 2) });
const file = (cylinder: number) => ({
  name: `cylinder-${cylinder}.csv`,
  mimeType: 'text/csv',
  buffer: Buffer.from(
    writeTraceCsv(simulateTrace({ engine, cylinder }).trace, {
      cylinder,
      condition: 'dry',
      geometry: {},
      manual: {},
    }),
  ),
});

let browser: TestBrowser;
let app: App;
let session: CDPSession;
beforeAll(async () => {
  browser = await launchBrowser();
  app = new App(await browser.open(), inject('appUrl'));
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [file(1), file(2)]);
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');
  await app.link(en.results.compare).click();
  await plot().waitFor();
  await plot().scrollIntoViewIfNeeded();
  session = await app.page.context().newCDPSession(app.page);
  await session.send('Emulation.setTouchEmulationEnabled', { enabled: true, maxTouchPoints: 2 });
});
afterAll(() => browser?.close());

const plot = () => app.page.getByRole('application', { name: en.compare.aligned });
const status = () => app.page.getByRole('status').filter({ hasText: /^Shows/ });

/** The announced range, seconds; `null` when all is shown. */
async function shown(): Promise<{ from: number; to: number } | null> {
  const found = /Shows (-?[\d.]+) to (-?[\d.]+)/.exec((await status().textContent()) ?? '');
  return found && { from: Number(found[1]), to: Number(found[2]) };
}
const span = async () => {
  const range = await shown();
  return range && range.to - range.from;
};

/** Moves fingers over the plot. Places are fractions of its width, each finger from the first to the second. */
async function drag(...fingers: readonly (readonly [from: number, to: number])[]): Promise<void> {
  const box = (await plot().locator('.u-over').boundingBox())!;
  const points = (share: number) =>
    fingers.map(([from, to], id) => ({
      id,
      x: box.x + box.width * (from + share * (to - from)),
      y: box.y + box.height / 2,
    }));
  await session.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: points(0) });
  for (let step = 1; step <= 8; step++) {
    await session.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: points(step / 8) });
  }
  await session.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
}

it('zooms where two fingers spread', async () => {
  expect(await shown()).toBeNull();
  await drag([0.4, 0.2], [0.6, 0.8]);
  await expect.poll(span).not.toBeNull();
  const near = (await span())!;
  await drag([0.4, 0.2], [0.6, 0.8]);
  // From 0.2 of the width apart to 0.6: three times closer.
  await expect.poll(async () => (await span())! / near).toBeCloseTo(1 / 3, 1);
});

it('moves with one finger and keeps its scale', async () => {
  const before = (await shown())!;
  await drag([0.7, 0.3]);
  await expect.poll(async () => (await shown())!.from).toBeGreaterThan(before.from);
  const after = (await shown())!;
  expect(after.to - after.from).toBeCloseTo(before.to - before.from, 0);
});

it('shows all after a double tap', async () => {
  await drag([0.5, 0.5]);
  await drag([0.5, 0.5]);
  await expect.poll(shown).toBeNull();
});

it('zooms, moves and shows all by keys, and says so', async () => {
  await plot().focus();
  await app.page.keyboard.press('+');
  await app.page.keyboard.press('+');
  await expect.poll(span).not.toBeNull();
  const before = (await shown())!;
  await app.page.keyboard.press('ArrowRight');
  await expect.poll(async () => (await shown())!.from).toBeGreaterThan(before.from);
  await app.page.keyboard.press('-');
  await expect.poll(span).toBeGreaterThan(before.to - before.from);
  await app.page.keyboard.press('0');
  await expect.poll(shown).toBeNull();
  expect(await plot().evaluate((one) => one === document.activeElement)).toBe(true);
});

it('gives the hint that fits the device', async () => {
  expect(await app.page.getByText(en.compare.zoomMouse).isVisible()).not.toBe(
    await app.page.getByText(en.compare.zoomTouch).isVisible(),
  );
});

it('causes no errors', () => expect(browser.complaints).toEqual([]));
