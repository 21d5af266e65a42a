/** The whole workflow with a dial gauge only: card, preparation, figures typed and tapped, wet retest, printed report. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, isInSight, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { beginFromCard, prepare, printReport } from '../support/workflow.ts';

const NAME = 'Dial gauge four';
const STROKES = ['85 120 138 146 150 152', '82 118 137 147 151 152'];

let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser();
  app = new App(await browser.open(), inject('appUrl'));
});
afterAll(() => browser?.close());

const strokesField = () => app.page.getByLabel(en.typed.strokes, { exact: true });
const line = (text: string | RegExp) => app.page.getByText(text).first();
const next = (cylinder: number, condition: 'dry' | 'wet' = 'dry') =>
  app.dialField(cylinder, condition).waitFor();

it('leads from the engine card to the printed report', { timeout: 90_000 }, async () => {
  await beginFromCard(app, {
    name: NAME,
    cylinders: 4,
    figures: { [en.setup.min]: '80', [en.setup.max]: '190' },
  });
  await prepare(app, { [en.prepare.altitude]: '1500', [en.prepare.battery]: '12.6' });
  await app.page.getByRole('radio', { name: en.crank.sourceTyped }).check();
  await app.button(en.crank.typeIn).click();

  // Stroke by stroke; an impossible figure is reported at its field and stays there.
  await next(1);
  await app.unfold(en.typed.each);
  await strokesField().fill('85 1200');
  await app.button(en.typed.next).click();
  await line(said(en.typed.range)).waitFor();
  expect(await strokesField().inputValue()).toBe('85 1200');
  await expect.poll(() => strokesField().evaluate((one) => one === document.activeElement)).toBe(true);
  await app.step('prepare');
  await app.step('crank');
  expect(await strokesField().inputValue()).toBe('85 1200');
  for (const [i, strokes] of STROKES.entries()) {
    await next(i + 1);
    await strokesField().fill(strokes);
    await app.button(en.typed.next).click();
  }

  // The third tapped along with the needle: slow to build, and low.
  await next(3);
  await app.unfold(en.typed.along);
  for (let stroke = 0; stroke < 7; stroke++) await app.strokePad.click();
  await app.button(en.typed.undoStroke).click();
  expect(await strokesField().inputValue()).toBe('? ? ? ? ? ?');
  // The figures in any order, while the last was read first.
  for (const [stroke, needle] of [
    [6, 100],
    [1, 44],
    [3, 76],
    [2, 62],
    [5, 94],
    [4, 86],
  ] as const) {
    await app.button(said(en.typed.strokeFigure.replace('{n}', String(stroke)))).click();
    await app.page.getByLabel(en.typed.needle.replace('{n}', String(stroke))).fill(String(needle));
  }
  expect(await strokesField().inputValue()).toBe('44 62 76 86 94 100');
  await app.button(en.typed.next).click();

  // The fourth by its final figure alone, and the notice of what that lacks.
  await next(4);
  await app.dialField(4).fill('149');
  await line(en.typed.lack['level-only']).waitFor();
  await app.button(en.typed.next).click();
  await app.step('judge');

  // Each within the manual, the spread beyond it; thin air shown as such.
  await line(en.results.withinButApart).waitFor();
  expect(await app.heading.textContent()).toMatch(/^Fault\./);
  await app.unfold(en.results.air);
  await line(said(en.results.airSaid)).waitFor();
  expect(await app.finalsInTable()).toEqual([152, 152, 100, 149]);

  // The dial gauge stays the chosen source, and the oil is mentioned where figures are typed. Nothing moves meanwhile.
  await app.button(/Test cylinder 3 wet/).click();
  await next(3, 'wet');
  await line(en.crank.wetCaution).waitFor();
  await app.page.setViewportSize({ width: 360, height: 780 });
  expect(await isInSight(app.dialField(3, 'wet'))).toBe(true);
  expect(await isInSight(app.button(en.typed.next))).toBe(true);
  await app.unfold(en.typed.along);
  const condition = (name: string) => app.page.getByRole('radio', { name, exact: true });
  await condition(en.condition.dry).check();
  await next(3, 'dry');
  const scrolledTo = () => app.page.evaluate(() => Math.round(scrollY));
  const before = await scrolledTo();
  await condition(en.condition.wet).check();
  await app.strokePad.waitFor();
  expect(await line(en.crank.wetCaution).isVisible()).toBe(true);
  expect(await scrolledTo()).toBe(before);
  // Opened by the strokes of the dry reading.
  await strokesField().fill('70 105 128 140 145 147');
  await app.button(en.typed.next).click();
  await app.step('judge');
  await line(said(en.evidence['wet-rise']!)).waitFor();
  expect(await app.heading.textContent()).toMatch(/^Fault\. Worn rings suspected in cylinder 3/);

  const onPaper = await printReport(app, '12.1');
  for (const text of [NAME, en.report.marked.typed, 'Worn rings', '3 wet', '12.1 V after']) {
    expect(onPaper).toContain(text);
  }
});

it('contacts only its own server and causes no errors', () => {
  expect(browser.requestsBeyond(inject('appUrl'))).toEqual([]);
  expect(browser.complaints).toEqual([]);
});
