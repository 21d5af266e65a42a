/** A garage's walk: last year's test typed with its date, this year's from files, their trend, and engines merged. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

const NAME = 'Grey estate';

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
  for (const figure of ['1210', '1195']) {
    await field(en.typed.final).fill(figure);
    await app.button(en.typed.save).click();
  }
  await app.step('keep');
  expect(await date.inputValue()).toBe(lastYear);
  await app.link(en.report.toReport).click();
  await app.page
    .getByRole('article')
    .getByText(`30 Apr ${year - 1}, entered by hand`)
    .waitFor();
});
