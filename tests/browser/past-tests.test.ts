/** A garage's walk: last year's test typed with its date, this year's from files, their trend, and engines merged. */
import { readFile } from 'node:fs/promises';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { Condition } from '../../worker/core/trace.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

const NAME = 'Grey estate';

const TODAY = new Date().toISOString();
const simulated = makeEngine({ layout: presetLayout('inline', 2) });

/** A file of a logger. `header`: what it states beside the cylinder. */
function file(cylinder: number, condition: Condition, header: { engine?: string; recorded?: string } = {}) {
  const { trace } = simulateTrace({ engine: simulated, cylinder });
  return {
    name: `cylinder-${cylinder}-${condition}.csv`,
    mimeType: 'text/csv',
    buffer: Buffer.from(
      writeTraceCsv(trace, { cylinder, condition, ambientKpa: 97.8, ...header, geometry: {}, manual: {} }),
    ),
  };
}

let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser();
  app = new App(await browser.open(), inject('appUrl'));
  await app.chooseUnit('kPa');
});
afterAll(() => browser?.close());

const field = (label: string) => app.page.getByLabel(label, { exact: true });
const year = new Date().getFullYear();
const lastYear = `${year - 1}-04-30`;

it('dates a typed test of last year', { timeout: 60_000 }, async () => {
  await app.beginTest({ name: NAME, cylinders: 2 });
  await app.step('prepare');
  const date = field(en.testDate.date);
  for (const [day, wrong] of [
    [`${year + 1}-01-01`, en.testDate.wrong.future],
    ['1899-12-31', en.testDate.wrong['too-old']],
    ['', en.testDate.wrong['no-day']],
  ] as const) {
    await date.fill(day);
    await date.blur();
    await app.page.getByText(wrong).waitFor();
  }
  await date.fill(lastYear);
  await date.blur();
  await app.page.getByText(said(en.testDate.byHand)).waitFor();
  await field(en.prepare.odometer).fill('120000');
  await field(en.prepare.odometer).blur();
  await app.step('crank');
  await app.page.getByRole('radio', { name: en.crank.sourceTyped }).check();
  await app.button(en.crank.typeIn).click();
  for (const [i, figure] of ['1210', '1195'].entries()) {
    await app.dialField(i + 1).fill(figure);
    await app.button(en.typed.next).click();
  }
  await app.step('keep');
  expect(await date.inputValue()).toBe(lastYear);
  await app.link(en.report.toReport).click();
  await app.page
    .getByRole('article')
    .getByText(`30 Apr ${year - 1}, entered by hand`)
    .waitFor();
});

const radio = (group: string, name: string) =>
  app.page.getByRole('group', { name: group, exact: true }).getByRole('radio', { name, exact: true });

it('opens this year’s files into the engine that they name, dry and wet together', {
  timeout: 60_000,
}, async () => {
  await app.goTo('/open');
  const named = { engine: `  ${NAME.toUpperCase()} `, recorded: TODAY };
  await app.chooseFiles(en.open.choose, [
    file(1, 'dry', named),
    file(2, 'dry', named),
    file(1, 'wet', named),
    file(2, 'wet', named),
  ]);
  await expect.poll(() => radio(en.into.engine, NAME).isChecked()).toBe(true);
  await radio(en.into.test, en.into.newTest).waitFor();
  await app.page.getByText(en.into.headerDay).waitFor();
  expect(await field(en.testDate.date).inputValue()).toBe(TODAY.slice(0, 10));
  expect(await field(en.setup.name).count()).toBe(0);
  await field(en.prepare.odometer).fill('135000');
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');
  await expect.poll(() => app.finalsInTable()).toHaveLength(4);
  await app.step('prepare');
  expect(Number(await field(en.prepare.barometer).inputValue())).toBeCloseTo(978, 0);
  expect(await field(en.prepare.odometer).inputValue()).toBe('135000');
});

it('refuses cylinders that the engine lacks, and adds a later take to a test that exists', async () => {
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [{ ...file(2, 'dry'), name: 'again.csv' }]);
  // Without a header, the day on which the file was last changed is suggested.
  await app.page.getByText(en.into.changedDay).waitFor();
  expect(await radio(en.into.engine, en.into.newEngine).isChecked()).toBe(true);
  // An impossible day is not replaced by the one before, also when the form is sent by the keyboard.
  await field(en.testDate.date).fill(`${year + 1}-01-01`);
  await field(en.testDate.date).press('Enter');
  await app.page.getByText(en.testDate.wrong.future).waitFor();
  expect(new URL(app.page.url()).pathname).toBe('/open');
  await field(en.testDate.date).fill(TODAY.slice(0, 10));
  await radio(en.into.engine, NAME).check();
  await field(en.column.cylinder).fill('3');
  await app.button(en.open.go).click();
  await app.page.getByText(said(en.into.notOnEngine)).waitFor();
  await field(en.column.cylinder).fill('2');
  const day = new Intl.DateTimeFormat('en-GB', { dateStyle: 'medium', timeZone: 'UTC' });
  await radio(en.into.test, day.format(new Date(TODAY))).check();
  await app.page.getByText(said(en.into.added)).waitFor();
  expect(await field(en.testDate.date).count()).toBe(0);
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');
  await app.step('keep');
  await app.page.getByText(en.export.superseded).waitFor();
});

it('opens a session file from the same place', async () => {
  await app.page.getByText(en.files.saveSession).waitFor();
  const [download] = await Promise.all([
    app.page.waitForEvent('download'),
    app.button(en.files.saveSession).click(),
  ]);
  const other = new App(await browser.open(), inject('appUrl'));
  await other.goTo('/open');
  const [chooser] = await Promise.all([
    other.page.waitForEvent('filechooser'),
    other.button(en.open.choose).click(),
  ]);
  await chooser.setFiles(
    await download.path().then(async (path) => ({
      name: download.suggestedFilename(),
      mimeType: 'application/json',
      buffer: await readFile(path),
    })),
  );
  await other.page.getByText('1 engine and 1 test restored.').waitFor();
  await other.link(en.into.toEngines).click();
  await other.engineRows.filter({ hasText: NAME }).waitFor();
});

it('draws the trend of both in order, by date and by mileage', async () => {
  await app.goTo('/');
  await app.engineRows.filter({ hasText: NAME }).click();
  await app.testRows.first().waitFor();
  const days = (await app.testRows.locator('.strong').allTextContents()).map((day) => day.slice(-4));
  expect(days).toEqual([String(year), String(year - 1)]);
  await app.page.getByText(said(en.trend.change)).waitFor();
  await radio(en.trend.by, en.trend.byOdometer).check();
  const table = app.page.getByRole('table');
  expect(await table.locator('tbody tr').first().textContent()).toContain('135,000');
  expect(await table.locator('tbody tr').nth(1).textContent()).toMatch(
    /120,000.*1210.*1195|120,000.*1,210.*1,195/,
  );
  await app.page.setViewportSize({ width: 360, height: 640 });
  const widths = await table.evaluate((one) => {
    const { scrollWidth, clientWidth } = one.closest('.scroll')!;
    return {
      scrollWidth,
      clientWidth,
      heads: [...one.querySelectorAll('th')].slice(1, 4).map((th) => th.textContent),
    };
  });
  expect(widths.scrollWidth).toBeLessThanOrEqual(widths.clientWidth);
  expect(widths.heads).toContain('1');
  await app.testRows.first().click();
  // "Against the test before" is against last year's.
  await app.page.getByRole('link', { name: en.results.compare }).click();
  await radio(en.compare.earlierChoose, `30 Apr ${year - 1}`).waitFor();
});

it('merges the same engine listed twice, shows where the cards differ, and undoes it after a reload', {
  timeout: 60_000,
}, async () => {
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [file(1, 'dry'), file(2, 'dry')]);
  await field(en.setup.name).fill('Estate from the logger');
  await field(en.setup.ratio).fill('9.5');
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');
  await app.goTo('/');
  await app.engineRows.filter({ hasText: NAME }).click();
  await app.link(en.merge.open).click();
  await app.button(en.merge.go).click();
  await app.page.getByText(en.merge.choose).waitFor();
  await radio(en.merge.which, 'Estate from the logger, 1 test').check();
  await radio(en.setup.name, NAME).waitFor();
  await radio(en.setup.name, 'Estate from the logger').check();
  await app.button(en.merge.go).click();
  await app.page.getByRole('heading', { level: 1, name: 'Estate from the logger' }).waitFor();
  await expect.poll(() => app.testRows.count()).toBe(3);
  await app.page.getByText('9.5 : 1').waitFor();
  await app.goTo('/');
  await expect.poll(() => app.engineRows.filter({ hasText: /estate/i }).count()).toBe(1);

  await app.engineRows.filter({ hasText: /estate/i }).click();
  await app.page.reload();
  await app.page.getByText(said(en.merge.done)).waitFor();
  await app.button(en.merge.undo).click();
  await app.page.getByRole('heading', { level: 1, name: NAME }).waitFor();
  await expect.poll(() => app.testRows.count()).toBe(2);
  await app.goTo('/');
  await expect.poll(() => app.engineRows.filter({ hasText: /estate/i }).count()).toBe(2);
});

it('lists simulated engines apart and offers none of them for a merge', async () => {
  await app.goTo('/');
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
  await app.goTo('/');
  const inRegion = (name: string) =>
    app.page.getByRole('region', { name, exact: true }).getByRole('listitem');
  await expect.poll(() => inRegion(en.engines.simulated).count()).toBe(1);
  expect(await inRegion(en.engines.engines).filter({ hasText: en.engines.simulatedName }).count()).toBe(0);
  await app.engineRows.filter({ hasText: NAME }).click();
  await app.link(en.merge.open).click();
  await radio(en.merge.which, 'Estate from the logger, 1 test').waitFor();
  expect(await app.page.getByRole('radio').count()).toBe(1);
});

it('starts a repeat test of a known engine in two taps', async () => {
  await app.goTo('/');
  const row = app.engineRows.filter({ hasText: NAME });
  await row.waitFor();
  await app.page.evaluate(() => {
    addEventListener('click', () => {
      document.documentElement.dataset.taps = String(Number(document.documentElement.dataset.taps ?? 0) + 1);
    });
  });
  await row.click();
  await app.button(en.repeat.again).click();
  await app.page.getByRole('heading', { level: 1, name: en.prepare.title }).waitFor();
  expect(await app.page.evaluate(() => document.documentElement.dataset.taps)).toBe('2');
  // A test of today.
  expect(await field(en.testDate.date).inputValue()).toBe(TODAY.slice(0, 10));
});
