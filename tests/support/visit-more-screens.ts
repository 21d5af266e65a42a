/** Screens with content that `visitScreens` does not reach: a fault by dial gauge, a rotary engine, columns, a merge. */
import { columnsWords } from '../../src/copy/en/columns.ts';
import { en } from '../../src/copy/en.ts';
import type { App } from './app.ts';
import type { Look } from './visit-screens.ts';

/** Milliseconds and volts without a header row. */
const UNNAMED = Array.from({ length: 800 }, (_, i) =>
  [i * 5, (0.5 + 2 * Math.max(0, Math.sin(i / 16)) ** 6).toFixed(4)].join(','),
).join('\n');

export async function visitMoreScreens(app: App, look: Look): Promise<void> {
  const { page } = app;
  await app.goTo('/new');
  await page.getByLabel(en.setup.name, { exact: true }).fill('Blue van');
  await app.button(en.setup.goDial).click();
  await look('30-dial-cautions');
  await app.button(en.typed.safeDone).click();
  for (const [i, figure] of ['145', '150', '95', '148'].entries()) {
    await app.dialField(i + 1).fill(figure);
    await page.keyboard.press('Enter');
  }
  await app.link(en.typed.toResults).waitFor();
  await look('31-dial-verdict');
  await app.step('judge');
  await page.getByRole('region', { name: en.results.nextStep, exact: true }).waitFor();
  await look('32-results-fault');
  await page.goto(page.url().replace(/judge$/, 'report'));
  await page.getByRole('article').waitFor();
  await look('33-report-fault');

  await app.goTo('/new');
  await page.getByRole('radio', { name: en.layoutKind.rotors, exact: true }).check();
  await page.getByLabel(en.setup.name, { exact: true }).fill('Coupe');
  await page.getByLabel(en.setup.min, { exact: true }).fill('99');
  await look('34-setup-rotary');
  await app.button(en.setup.goDial).click();
  await app.button(en.typed.safeDone).click();
  for (const faces of ['120 86 118', '121 119 118']) {
    await page.getByLabel(en.typed.faces, { exact: true }).fill(faces);
    await app.button(en.typed.next).click();
  }
  await app.step('judge');
  await page.getByRole('region', { name: en.rotary.title, exact: true }).waitFor();
  await look('35-results-rotary');

  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [
    { name: 'bench.csv', mimeType: 'text/csv', buffer: Buffer.from(UNNAMED) },
  ]);
  await app.button(columnsWords.set).click();
  await page.getByRole('dialog').waitFor();
  await look('36-columns');

  await app.beginTest({ name: 'The van, blue', cylinders: 4 });
  await app.goTo('/');
  await app.engineRows.filter({ hasText: 'Blue van' }).click();
  await app.link(en.merge.open).click();
  await page.getByRole('radio').first().check();
  await look('37-merge-chosen');
}
