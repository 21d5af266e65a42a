/** Untrusted files: too long, with hostile names and cells. The page neither freezes nor executes anything in them. */
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Locator } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

const MANY_BYTES = 200e6;
/** Longest allowed time without a frame, milliseconds; a busy test machine is slower than a phone. */
const LONGEST_HOLD_MS = 700;

let folder: string;
let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'strokebook-strangers-'));
  browser = await launchBrowser();
  app = new App(await browser.open(), inject('appUrl'));
});
afterAll(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true, force: true });
});

/** A file of 200 million bytes with this beginning; the rest is spaces, which a reader has to scan one by one. */
function longFile(name: string, beginning: string): string {
  const path = join(folder, name);
  const file = openSync(path, 'w');
  const spaces = Buffer.alloc(1e6, ' ');
  for (let bytes = writeSync(file, beginning); bytes < MANY_BYTES; ) bytes += writeSync(file, spaces);
  closeSync(file);
  return path;
}

/** Presses the button, gives it this file and waits for these words. Returns the longest time without a frame, ms. */
async function longestHold(button: string, path: string, words: string): Promise<number> {
  await app.page.evaluate(() => {
    const watch = { longestMs: 0 };
    Object.assign(window, { watch });
    let lastMs = performance.now();
    setInterval(() => {
      const nowMs = performance.now();
      watch.longestMs = Math.max(watch.longestMs, nowMs - lastMs);
      lastMs = nowMs;
    }, 10);
  });
  const [chooser] = await Promise.all([app.page.waitForEvent('filechooser'), app.button(button).click()]);
  await chooser.setFiles(path);
  await app.page.getByText(words).first().waitFor();
  return app.page.evaluate(() => (window as unknown as { watch: { longestMs: number } }).watch.longestMs);
}

it('refuses a recording of 200 MB without freezing', async () => {
  await app.goTo('/open');
  const path = longFile('long.csv', 'time_s,pressure_kpa\n0,1\n');
  expect(await longestHold(en.open.choose, path, en.file['too-large'])).toBeLessThan(LONGEST_HOLD_MS);
});

it('refuses a session file of 200 MB without freezing', async () => {
  await app.goTo('/settings');
  const path = longFile('long.strokebook.json', '{"format":"strokebook-session","version":1,"engines":[');
  const words = en.files.sessionFile['not-ours'];
  expect(await longestHold(en.files.bringIn, path, words)).toBeLessThan(LONGEST_HOLD_MS);
});

const HOSTILE = [
  ['markup', '<img src=x onerror="window.strange=1">'],
  ['a script', '"><script>window.strange=1</script>'],
  ['a formula', '=HYPERLINK("http://127.0.0.1:1/","press")'],
  ['right to left and gaps of a sentence', '\u202Eevil\u202C {name} [x] {n:plural a|b}'],
  ['right to left without an end', '\u202Eevil'],
  ['3000 letters', 'W'.repeat(3000)],
] as const;

/** Whether the date follows an engine's name, as with any other name that fits a line. */
const isBeforeTheDate = (name: Locator): Promise<boolean> =>
  name.evaluate((element) => {
    const date = document.createRange();
    date.selectNode(element.nextSibling!);
    const [ofName, ofDate] = [element.getBoundingClientRect(), date.getBoundingClientRect()];
    return ofDate.left >= ofName.right - 1 || ofName.height > 1.5 * ofDate.height;
  });

it.each(HOSTILE)('shows an engine whose name is %s as plain text', async (_, name) => {
  const { trace } = simulateTrace({
    engine: makeEngine({ layout: presetLayout('inline', 1) }),
    cylinder: 1,
    strokes: 5,
  });
  const header = { cylinder: 1, condition: 'dry', cycle: 4, engine: name, geometry: {}, manual: {} } as const;
  const buffer = Buffer.from(writeTraceCsv(trace, header));
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [{ name: `${name.slice(0, 60)}.csv`, mimeType: 'text/csv', buffer }]);
  const field = app.page.getByLabel(en.setup.name, { exact: true });
  await field.fill(name);
  const held = await field.inputValue();
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');
  await app.page.getByText(held).first().waitFor();
  expect(await isBeforeTheDate(app.page.getByRole('main').getByRole('link').filter({ hasText: held }))).toBe(
    true,
  );
  const { clientWidth, scrollWidth } = await app.page.evaluate(() => ({
    clientWidth: document.documentElement.clientWidth,
    scrollWidth: document.documentElement.scrollWidth,
  }));
  expect(scrollWidth).toBe(clientWidth);
  await app.goTo('/');
  await app.page.getByText(held).first().waitFor();
  expect(await app.page.evaluate(() => 'strange' in window)).toBe(false);
  expect(browser.complaints).toEqual([]);
});
