/** A logger's file without a header row: its columns are named once, and not asked for again. */
import { readFile } from 'node:fs/promises';
import { source as axeSource } from 'axe-core';
import type { Locator } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { rigFor } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { columnsWords as words } from '../../src/copy/en/columns.ts';
import { en } from '../../src/copy/en.ts';
import { run } from '../../worker/cli/run.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import type { AnalysisJson } from '../support/command-line.ts';

const engine = makeEngine({ layout: presetLayout('inline', 2), health: { 2: { valveMm2: 4 } } });
const traces = [1, 2].map((cylinder) => simulateTrace({ engine, cylinder, rig: rigFor('open') }).trace);
const length = Math.min(...traces.map(({ timeS }) => timeS.length));
/** Milliseconds, two channels of 0.5 to 4.5 V for 0 to 2000 kPa, no header row. */
const text = Array.from({ length }, (_, i) =>
  [i * 5, ...traces.map(({ pressureKpa }) => (0.5 + pressureKpa[i]! / 500).toFixed(4))].join(','),
).join('\n');
const upload = { name: 'bench.csv', mimeType: 'text/csv', buffer: Buffer.from(text) };

let browser: TestBrowser;
let app: App;
let dialog: Locator;
beforeAll(async () => {
  browser = await launchBrowser({ viewport: { width: 360, height: 640 } });
  app = new App(await browser.open(), inject('appUrl'));
  dialog = app.page.getByRole('dialog', { name: words.title });
  await app.chooseUnit('kPa');
});
afterAll(() => browser?.close());

const radio = (group: string, name: string): Locator =>
  dialog.getByRole('group', { name: group, exact: true }).getByRole('radio', { name, exact: true });
const meaning = (column: number, name: string): Locator =>
  radio(words.meaning.replace('{n:0}', String(column)), name);

async function openFile(): Promise<void> {
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [upload]);
}

it('quotes the first line of a file that it cannot read, and guesses its columns', async () => {
  await openFile();
  await app.page.getByText(words.badLine.replace('{excerpt}', '0,0.')).waitFor();
  await app.button(words.set).click();
  await dialog.waitFor();
  expect(await meaning(1, words.meanings.time).isChecked()).toBe(true);
  expect(await radio(words.timeUnit, 'ms').isChecked()).toBe(true);
  expect(await meaning(2, words.meanings.pressure).isChecked()).toBe(true);
  expect(await meaning(3, words.meanings.pressure).isChecked()).toBe(true);
  expect(await radio(words.signal, words.signals.volts).isChecked()).toBe(true);
  await dialog.getByRole('img', { name: /^Column 2 over the file: 0\.\d+ to / }).waitFor();
});

it('says what is missing, and warns of a wrong choice', async () => {
  await dialog.getByRole('button', { name: words.use }).click();
  await dialog.getByText(words.problem['no-unit']).waitFor();
  await dialog.getByText(words.problem['no-point']).waitFor();
  expect(await dialog.evaluate((element) => element.contains(document.activeElement))).toBe(true);
  await meaning(2, words.meanings.time).check();
  expect(await meaning(1, words.meanings.other).isChecked()).toBe(true);
  await dialog.getByText(words.warning.falls).waitFor();
  await meaning(1, words.meanings.time).check();
  expect(await meaning(2, words.meanings.other).isChecked()).toBe(true);
  await meaning(2, words.meanings.pressure).check();
});

it('draws the pressures in the chosen unit, with their strokes', async () => {
  await radio(words.pointsUnit, 'kPa').check();
  const full = dialog.getByLabel(words.highPressure, { exact: true });
  await full.fill('200');
  await dialog.getByText(said(words.warning.low)).first().waitFor();
  await full.fill('2000');
  await dialog.getByRole('img', { name: /Column 2 .* kPa to 1,\d{3}\.\d kPa, \d+ strokes/ }).waitFor();
  await dialog.getByText(said(words.warning.low)).first().waitFor({ state: 'detached' });
});

it('has accessible names, large targets and no overflow at 360 by 640', async () => {
  await app.page.evaluate(axeSource);
  for (const colorScheme of ['dark', 'light'] as const) {
    await app.page.emulateMedia({ colorScheme });
    const violations = await app.page.evaluate(async () => {
      const { axe } = window as unknown as { axe: typeof import('axe-core') };
      const { violations: found } = await axe.run('dialog');
      return found.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
    });
    expect(violations, colorScheme).toEqual([]);
  }
  expect(await dialog.evaluate((element) => element.scrollWidth - element.clientWidth)).toBe(0);
  const small = await dialog.locator('button, label:has(input[type=radio])').evaluateAll((all) =>
    all
      .map((one) => ({ box: one.getBoundingClientRect(), name: one.textContent }))
      .filter(({ box }) => box.width > 0 && (box.height < 48 || box.width < 48))
      .map(({ name }) => name),
  );
  expect(small).toEqual([]);
});

it('exports the columns for the command line, which finds the same', async () => {
  const [download] = await Promise.all([
    app.page.waitForEvent('download'),
    dialog.getByRole('button', { name: words.export, exact: true }).click(),
  ]);
  expect(download.suggestedFilename()).toBe('bench.columns.json');
  const exported = await readFile(await download.path(), 'utf8');
  await dialog.getByRole('button', { name: words.use }).click();
  await dialog.waitFor({ state: 'detached' });
  await app.page.getByText(said(words.mapped)).waitFor();

  await app.page.getByLabel(en.setup.name, { exact: true }).fill('From volts');
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');
  await app.page.getByText(en.verdict.fault).first().waitFor();
  const shownKpa = await app.finalsInTable();
  const files: Readonly<Record<string, string>> = { 'bench.columns.json': exported, 'bench.csv': text };
  const answer = await run(['--json', '--columns', 'bench.columns.json', 'bench.csv'], (file) => ({
    text: files[file] ?? '',
  }));
  const { readings, engine: judged } = JSON.parse(answer.out) as AnalysisJson;
  expect(judged.verdict).toBe('fault');
  expect(shownKpa).toHaveLength(2);
  for (const [i, { finalKpa }] of readings.entries()) {
    expect(Math.abs(shownKpa[i]! / finalKpa! - 1)).toBeLessThan(0.001);
  }
});

it('asks no question when the file is opened again, also after a reload', async () => {
  await openFile();
  await app.page.getByText(said(words.mapped)).waitFor();
  await app.button(en.open.go).waitFor();
  expect(await app.button(words.set).count()).toBe(0);
});

it('shows the choices again on request, by keyboard, and forgets them', async () => {
  await app.button(words.wrong).focus();
  await app.page.keyboard.press('Enter');
  await dialog.waitFor();
  expect(await dialog.getByLabel(words.highPressure, { exact: true }).inputValue()).toBe('2000');
  await app.page.keyboard.press('Escape');
  await dialog.waitFor({ state: 'detached' });
  expect(await app.button(words.wrong).evaluate((one) => one === document.activeElement)).toBe(true);
  await app.page.keyboard.press('Enter');
  await dialog.getByRole('button', { name: words.forget }).click();
  await dialog.waitFor({ state: 'detached' });
  await app.button(words.set).waitFor();
  expect(browser.complaints).toEqual([]);
});
