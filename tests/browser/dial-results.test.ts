/** Results, comparison and report of typed readings show nothing that a dial gauge cannot know. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser();
  app = new App(await browser.open(), inject('appUrl'));
  await app.goTo('/new');
  await app.page.getByLabel(en.setup.count, { exact: true }).fill('2');
  await app.button(en.setup.goDial).click();
  await app.button(en.typed.safeDone).click();
  for (const figure of ['150', '148']) {
    await app.page.keyboard.type(figure);
    await app.page.keyboard.press('Enter');
  }
  await app.link(en.typed.toResults).click();
});
afterAll(() => browser?.close());

const headings = () => app.page.getByRole('heading').allTextContents();
const columns = () => app.page.getByRole('table').first().getByRole('columnheader').allTextContents();
const finalInPsi = en.column.finalIn.replace('{unit}', 'psi');

it('has results without empty columns and plots', async () => {
  expect(await app.figureNames()).toEqual([finalInPsi, en.column.verdict]);
  const shown = await headings();
  expect(shown).toContain(en.results.table);
  expect(shown).not.toContain(en.results.ladder);
  expect(shown).not.toContain(en.results.leaks);
});

it('compares only final readings', async () => {
  await app.link(en.results.compareFigures).click();
  await app.page.getByRole('heading', { name: en.compare.differences }).waitFor();
  const shown = await headings();
  expect(shown).not.toContain(en.compare.ladder);
  expect(shown).not.toContain(en.compare.aligned);
  await app.page.goBack();
  // Still open.
  await app.page.getByRole('table').first().waitFor();
});

it('reports no strokes, no hose and no plot', async () => {
  await app.goTo(new URL(app.page.url()).pathname.replace('judge', 'report'));
  await app.page.getByRole('article').getByRole('table').waitFor();
  expect(await columns()).toHaveLength(3);
  const sheet = app.page.getByRole('article');
  expect(await sheet.getByRole('heading', { name: en.results.ladder }).count()).toBe(0);
  expect(await sheet.getByText(en.report.fact.hose, { exact: true }).count()).toBe(0);
  expect(await sheet.getByRole('cell', { name: '–', exact: true }).count()).toBe(0);
});

it('shows build-up where strokes were typed, and still no cranking speed', async () => {
  await app.goTo(new URL(app.page.url()).pathname.replace('report', 'crank'));
  await app.circle(1).click();
  await app.unfold(en.typed.each);
  await app.page.getByLabel(en.typed.strokes, { exact: true }).fill('85 120 138 146 150 150');
  await app.page.keyboard.press('Enter');
  await app.link(en.typed.toResults).click();
  await app.page.getByRole('heading', { name: en.results.ladder, exact: true }).waitFor();
  const shown = await app.figureNames();
  expect(shown).toContain(en.column.buildUp);
  expect(shown).not.toContain(en.column.rpm);
});
