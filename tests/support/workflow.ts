/** Shared steps of a whole workflow, for any source of its figures: the card, the preparation, the report. */
import { expect } from 'vitest';
import { en } from '../../src/copy/en.ts';
import type { App } from './app.ts';
import { pageCount } from './pdf.ts';

export interface Card {
  readonly name: string;
  readonly cylinders: number;
  /** By label. */
  readonly figures: Readonly<Record<string, string>>;
}

const field = (app: App, label: string) => app.page.getByLabel(label, { exact: true });
const choose = (app: App, question: string, answer: string) =>
  app.page
    .getByRole('group', { name: question, exact: true })
    .getByRole('radio', { name: answer, exact: true })
    .check();

/** Fills in a new card and starts a test from the engine's page. Ends at the preparation. */
export async function beginFromCard(app: App, { name, cylinders, figures }: Card): Promise<void> {
  await app.goTo('/engine');
  await field(app, en.setup.name).fill(name);
  await field(app, en.setup.count).fill(String(cylinders));
  for (const [label, text] of Object.entries(figures)) await field(app, label).fill(text);
  await app.button(en.card.save).click();
  await app.page.getByRole('heading', { level: 1, name }).waitFor();
  await app.link(en.card.startTest).click();
  await app.button(en.setup.go).click();
  await app.page.getByRole('heading', { name: en.prepare.title }).waitFor();
}

/** Enters the engine and the conditions and ticks every caution. Ends at the choice of source. */
export async function prepare(app: App, conditions: Readonly<Record<string, string>>): Promise<void> {
  const { question, answer } = en.prepare;
  await choose(app, question.fuelSystem, answer.injected);
  await choose(app, question.highVoltage, answer['no-high-voltage']);
  await choose(app, question.belts, answer.belts);
  await app.page.getByText(en.caution['fuel-off-injected'].what).waitFor();
  for (const [label, text] of Object.entries(conditions)) {
    await field(app, label).fill(text);
    await field(app, label).blur();
  }
  for (const box of await app.page.getByRole('checkbox').all()) {
    // Shows as ticked once it is stored.
    await box.click();
    await box.and(app.page.getByRole('checkbox', { checked: true })).waitFor();
  }
  await app.button(en.prepare.go).click();
  await app.page.getByText(en.crank.chooseSource).first().waitFor();
}

/** From the verdict by way of the export to the printed page; returns its text. */
export async function printReport(app: App, batteryAfterV: string): Promise<string> {
  await app.link(en.results.toKeep).click();
  await field(app, en.prepare.batteryAfter).fill(batteryAfterV);
  await field(app, en.prepare.batteryAfter).blur();
  await app.link(en.report.toReport).click();
  await app.page.getByRole('article').waitFor();
  await app.page.emulateMedia({ media: 'print' });
  // biome-ignore lint/performance/useDomNodeTextContent: text hidden in print must not count.
  const onPaper = await app.page.getByRole('article').innerText();
  const pdf = await app.page.pdf({ format: 'A4' });
  await app.page.emulateMedia({ media: null });
  // The customer's page and the workshop's.
  expect(pageCount(pdf)).toBe(2);
  return onPaper;
}
