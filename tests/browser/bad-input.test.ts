/**
 * Impossible input is reported beside its field and nothing entered is lost. Newer files: `report.test.ts`. Falling needles:
 * `typed-workflow.test.ts`.
 */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { Condition } from '../../worker/core/trace.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

const engine = makeEngine({ layout: presetLayout('inline', 2) });

/** `scale`: factor on all pressures, as for a file in another unit. */
function upload(cylinder: number, condition: Condition, scale = 1) {
  const { trace } = simulateTrace({ engine, cylinder });
  const scaled = { ...trace, pressureKpa: trace.pressureKpa.map((kpa) => kpa * scale) };
  const header = { cylinder, condition, cycle: 4, geometry: {}, manual: {} } as const;
  return {
    name: `c${cylinder}-${condition}.csv`,
    mimeType: 'text/csv',
    buffer: Buffer.from(writeTraceCsv(scaled, header)),
  };
}

let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser();
  app = new App(await browser.open(), inject('appUrl'));
});
afterAll(() => browser?.close());

const field = (label: string) => app.page.getByLabel(label, { exact: true });
const line = (text: string | RegExp) => app.page.getByText(text).first();
const row = (n: number) =>
  app.page.getByRole('region', { name: en.open.recordings, exact: true }).getByRole('listitem').nth(n);

it('reports a manual minimum above its maximum, and an impossible pressure', async () => {
  await app.goTo('/new');
  await field(en.setup.name).fill('Grey estate');
  await field(en.setup.min).fill('170');
  await field(en.setup.max).fill('120');
  await app.button(en.setup.go).click();
  await line(en.setup.minAboveMax).waitFor();
  await field(en.setup.max).fill('12000');
  await line(said(en.setup.pressureRange)).waitFor();
  await app.page.reload();
  await field(en.setup.max).waitFor();
  expect([await field(en.setup.min).inputValue(), await field(en.setup.max).inputValue()]).toEqual([
    '170',
    '12000',
  ]);
});

it('reports a recording of a missing cylinder, a wet one without a dry one, and a diesel with oil', async () => {
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [upload(1, 'dry'), upload(2, 'wet')]);
  await field(en.setup.name).fill('From files');
  await row(1).getByText(said(en.open.wetAlone)).waitFor();
  await row(0).getByLabel(en.column.cylinder).fill('7');
  await app.button(en.open.go).click();
  await row(0).getByText(said(en.open.noSuchCylinder)).waitFor();
  expect(await row(0).getByLabel(en.column.cylinder).inputValue()).toBe('7');
  await row(0).getByLabel(en.column.cylinder).fill('1');
  await app.page.getByRole('radio', { name: en.setup.fuelDiesel, exact: true }).check();
  await row(1).getByText(en.open.dieselWet).waitFor();
  await app.page.getByRole('radio', { name: en.setup.fuelSpark, exact: true }).check();
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');
  await line(said(en.results.wetAlone)).waitFor();
});

it('doubts a recording in another unit than it states', async () => {
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [upload(1, 'dry', 6.9), upload(2, 'dry', 6.9)]);
  await field(en.setup.name).fill('Wrong unit');
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');
  await line(said(en.results.tooHigh)).waitFor();
  // The doubt is beside the verdict, visible on a phone without scrolling, and a table's caption is not cut at the page's edge.
  const { width, height } = app.page.viewportSize()!;
  const doubt = (await app.page.locator('.doubt').boundingBox())!;
  expect(doubt.y + doubt.height).toBeLessThan(height);
  await app.figuresTable();
  const caption = (await app.page.getByRole('caption').first().boundingBox())!;
  expect(caption.x + caption.width).toBeLessThanOrEqual(width);
  await app.step('keep');
  await app.link(en.report.toReport).click();
  await app.page.getByRole('article').getByText(said(en.report.notMeasuredItem.unit)).waitFor();
});

it('reports a typed wet test without a dry one, and offers no wet test on a diesel', async () => {
  // A separate browser: the first one still holds the unfinished card.
  app = new App(await browser.open(), inject('appUrl'));
  await app.beginTest({ name: 'Dial two', cylinders: 2 });
  const type = async () => {
    await app.page.getByRole('radio', { name: en.crank.sourceTyped }).check();
    await app.button(en.crank.typeIn).click();
  };
  await type();
  await app.dialField(1).fill('150');
  await app.page.getByRole('radio', { name: en.condition.wet, exact: true }).check();
  await line(en.crank.noDryYet).waitFor();
  await app.page.getByRole('radio', { name: en.condition.dry, exact: true }).check();
  expect(await app.dialField(1).inputValue()).toBe('150');

  await app.goTo('/new');
  await app.page.getByRole('radio', { name: en.setup.another }).check();
  await field(en.setup.name).fill('Van');
  await app.page.getByRole('radio', { name: en.setup.fuelDiesel, exact: true }).check();
  await line(en.setup.dieselOil).waitFor();
  await app.button(en.setup.go).click();
  await app.page.getByRole('heading', { name: en.prepare.title }).waitFor();
  await line(en.caution['no-oil'].what).waitFor();
  await app.step('crank');
  await type();
  // The preparation was left without ticks, so its cautions come first.
  await line(en.caution['no-oil'].what).waitFor();
  await app.button(en.typed.safeDone).click();
  await app.dialField(1).waitFor();
  expect(await app.page.getByRole('radio', { name: en.condition.wet, exact: true }).count()).toBe(0);
});

it('causes no errors', () => {
  expect(browser.complaints).toEqual([]);
});
