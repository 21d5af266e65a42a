/** Units follow the region of the browser's language, from the card to the report; each can be changed. */
import { afterEach, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { beginFromCard, prepare } from '../support/workflow.ts';

let browser: TestBrowser;
afterEach(() => browser?.close());

interface Region {
  readonly locale: string;
  /** Typed text and unit by the label of the field. */
  readonly card: Readonly<Record<string, readonly [text: string, unit: string]>>;
  readonly conditions: Readonly<Record<string, readonly [text: string, unit: string]>>;
  readonly finals: readonly string[];
  readonly onResults: readonly string[];
  readonly altitudeAxis: string;
  readonly onReport: readonly string[];
}

const REGIONS: readonly Region[] = [
  {
    locale: 'en-US',
    card: {
      [en.setup.ratio]: ['9.5', ''],
      [en.card.bore]: ['3.386', 'in'],
      [en.card.stroke]: ['3.386', 'in'],
      [en.card.odometer]: ['88000', 'mi'],
      [en.card.plugKm]: ['30000', 'mi'],
    },
    conditions: {
      [en.prepare.altitude]: ['5000', 'ft'],
      [en.prepare.barometer]: ['24.9', 'inHg'],
      [en.prepare.oilTemperature]: ['176', '°F'],
    },
    finals: ['150', '148'],
    onResults: ['24.90 inHg'],
    altitudeAxis: 'altitude, ft',
    onReport: ['3.386 × 3.386 in', '88,000 mi', '24.90 inHg', '176 °F', 'Pressures in psi'],
  },
  {
    locale: 'de-DE',
    card: {
      [en.setup.ratio]: ['9,5', ''],
      [en.card.bore]: ['86,4', 'mm'],
      [en.card.stroke]: ['86', 'mm'],
      [en.card.odometer]: ['141000', 'km'],
      [en.card.plugKm]: ['60000', 'km'],
    },
    conditions: {
      [en.prepare.altitude]: ['1500', 'm'],
      [en.prepare.barometer]: ['843,2', 'hPa'],
      [en.prepare.oilTemperature]: ['80', '°C'],
    },
    finals: ['10,3', '10,2'],
    onResults: ['843 hPa'],
    altitudeAxis: 'altitude, m',
    onReport: ['86,4 × 86,0 mm', '141.000 km', '843 hPa', '80 °C', 'Pressures in bar'],
  },
];

const field = (app: App, label: string) => app.page.getByLabel(label, { exact: true });
const unitOf = async (app: App, label: string) =>
  (await field(app, label).locator('xpath=following-sibling::*').textContent()) ?? '';
const texts = (fields: Region['card']) =>
  Object.fromEntries(Object.entries(fields).map(([label, [text]]) => [label, text]));

/** A field shows a decimal point, as the number pad of a phone types it. */
async function expectShown(app: App, fields: Region['card']): Promise<void> {
  for (const [label, [text, unit]] of Object.entries(fields)) {
    expect([label, await field(app, label).inputValue()]).toEqual([label, text.replace(',', '.')]);
    if (unit !== '') expect([label, await unitOf(app, label)]).toEqual([label, unit]);
  }
}

it.each(REGIONS)('$locale: fields, results and report', { timeout: 90_000 }, async (region) => {
  browser = await launchBrowser({ locale: region.locale });
  const app = new App(await browser.open(), inject('appUrl'));
  const { page } = app;
  await beginFromCard(app, { name: 'Estate', cylinders: 2, figures: texts(region.card) });
  await prepare(app, texts(region.conditions));
  await page.getByRole('radio', { name: en.crank.sourceTyped }).check();
  await app.button(en.crank.typeIn).click();
  for (const [i, figure] of region.finals.entries()) {
    await app.dialField(i + 1).fill(figure);
    await app.button(en.typed.next).click();
  }

  await app.step('prepare');
  await expectShown(app, region.conditions);

  await app.step('judge');
  await app.unfold(en.results.air);
  for (const text of region.onResults) await page.getByText(text).first().waitFor();
  await app.unfold(en.whatIf.title);
  await page.getByRole('radio', { name: en.whatIf.factor.altitude, exact: true }).check();
  await page.getByText(`${region.altitudeAxis} →`).waitFor();

  await app.step('keep');
  await app.link(en.report.toReport).click();
  for (const text of region.onReport) await page.getByRole('article').getByText(text).first().waitFor();
  const report = page.url();

  await app.goTo('/');
  await app.engineRows.first().click();
  await app.link(en.card.edit).click();
  await expectShown(app, region.card);

  // A unit changed by itself, and back to those of the region.
  await app.goTo('/settings');
  const distance = page.getByRole('group', { name: en.settings.quantity.distance, exact: true });
  const [other, own] = region.locale === 'en-US' ? ['km', 'mi'] : ['mi', 'km'];
  await distance.getByRole('radio', { name: other, exact: true }).check();
  await page.goto(report);
  await page
    .getByRole('article')
    .getByText(region.locale === 'en-US' ? '141,622 km' : '87.613 mi')
    .waitFor();
  await app.goTo('/settings');
  await app.button(en.settings.asRegion).click();
  expect(await distance.getByRole('radio', { name: own, exact: true }).isChecked()).toBe(true);
  expect(browser.complaints).toEqual([]);
});
