/** Engines that a dial gauge gets wrong: rotary ones, simulated and by dial; two-strokes and compression releases. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser({ fastForward: true });
  app = new App(await browser.open(), inject('appUrl'));
});
afterAll(() => browser?.close());

/** Sentences of the page, folded ones too, that name cylinders. */
const ofCylinders = async (): Promise<string[]> => {
  const text = (await app.page.locator('main').textContent()) ?? '';
  return text.match(/[^.]{0,40}cylinder[^.]{0,40}/gi) ?? [];
};

it('shows three faces of each rotor, simulated', { timeout: 120_000 }, async () => {
  const { page } = app;
  await app.goTo('/new');
  await page.getByRole('radio', { name: en.layoutKind.rotors, exact: true }).check();
  await page.getByLabel(en.setup.name, { exact: true }).fill('Coupe');
  await page.getByLabel(en.setup.min, { exact: true }).fill('99');
  expect(await page.getByText(en.setup.cycle, { exact: true }).count()).toBe(0);
  await app.button(en.setup.go).click();
  await page.getByText(en.caution['rotor-hose'].what).waitFor();
  for (const box of await page.getByRole('checkbox').all()) await box.check();
  await app.button(en.prepare.go).click();
  await page.getByRole('radio', { name: en.crank.sourceSimulator }).check();
  await page.getByRole('radio', { name: en.cause['apex-seal'], exact: true }).check();
  await app.button(en.crank.connectSimulator).click();
  await app.sensorLine.waitFor();
  await app.arm();
  for (const rotor of [1, 2]) {
    await app.fastForwardTo(en.rotorPhase.waiting);
    await app.button(en.crank.turnStarter).click();
    await app.fastForwardTo(rotor === 2 ? en.rotorPhase.done : en.rotorPhase.moving);
    if (rotor === 1) await app.button(said(en.crank.goOnRotor)).click();
  }
  await app.step('judge');

  const faces = page.getByRole('region', { name: en.rotary.title, exact: true });
  await faces.getByRole('table').waitFor();
  expect(await faces.locator('tbody tr').count()).toBe(6);
  expect(await faces.locator('tbody tr').first().locator('td').allTextContents()).toEqual([
    '1',
    expect.stringMatching(/^\d+\s±\s[\d.]+\spsi$/),
    expect.stringMatching(/^\d+\s±\s[\d.]+\spsi$/),
  ]);
  await page
    .getByText(said(en.evidence['rotor-two-faces-low'].replace('{where}', '')))
    .first()
    .waitFor();
  expect(await app.heading.textContent()).toMatch(/apex seal suspected in rotor 2/i);
  expect(await page.getByText(en.rotary.rule).count()).toBe(1);
  await page.locator('details#air table, details#air a').first().waitFor({ state: 'attached' });
  expect(await ofCylinders(), 'results').toEqual([]);
  await app.link(en.results.compare).click();
  await page.getByRole('heading', { name: en.compare.differences }).waitFor();
  expect(await ofCylinders(), 'comparison').toEqual([]);
  await page.goto(page.url().replace(/compare$/, 'report'));
  await page.getByRole('article').waitFor();
  expect(await ofCylinders(), 'report').toEqual([]);
});

it('takes the three swings of a dial’s needle as faces', { timeout: 90_000 }, async () => {
  const { page } = app;
  await app.goTo('/new');
  await page.getByRole('radio', { name: en.layoutKind.rotors, exact: true }).check();
  await page.getByLabel(en.setup.name, { exact: true }).fill('Dial coupe');
  await page.getByLabel(en.setup.rotorCount, { exact: true }).fill('1');
  await page.getByLabel(en.setup.min, { exact: true }).fill('99');
  await app.button(en.setup.goDial).click();
  await app.button(en.typed.safeDone).click();
  const typed = page.getByLabel(en.typed.faces, { exact: true });
  await typed.fill('120 86 118');
  await app.button(en.typed.next).click();
  await page.getByText(en.ofRotors.typed.tapToChange).waitFor();
  expect(await ofCylinders(), 'dial').toEqual([]);
  await app.step('judge');
  await page.getByText(en.evidence['rotor-speed-unknown']).waitFor();
  const faces = page.getByRole('region', { name: en.rotary.title, exact: true });
  expect(await faces.locator('tbody tr').count()).toBe(3);
  // The three figures are of faces: a chart by stroke would draw them as a build-up.
  expect(await page.getByRole('heading', { name: en.results.ladder }).count()).toBe(0);
  expect(await app.heading.textContent()).toMatch(/side or corner seals suspected in rotor 1/i);
});

it('says how a two-stroke’s ratio was taken, and expects nothing of one with a release', {
  timeout: 90_000,
}, async () => {
  const { page } = app;
  const choose = (group: string, answer: string) =>
    page
      .getByRole('group', { name: group, exact: true })
      .getByRole('radio', { name: answer, exact: true })
      .check();
  for (const release of ['none', 'automatic'] as const) {
    await app.goTo('/new');
    await page.getByLabel(en.setup.name, { exact: true }).fill(`Mower ${release}`);
    await choose(en.setup.cycle, en.cycle[2]);
    await page.getByLabel(en.setup.count, { exact: true }).fill('1');
    await choose(en.setup.decompressor, en.setup.decompressorKind[release]);
    await page.getByLabel(en.setup.ratio, { exact: true }).fill('7');
    await app.button(en.setup.goDial).click();
    await app.button(en.typed.safeDone).click();
    await app.dialField(1).fill('118');
    await app.button(en.typed.next).click();
    await app.step('judge');
    if (release === 'none') {
      await page.getByText(said(en.results.ratioAssumed)).waitFor();
      await page.getByText(said(en.results.portAssumed)).waitFor();
    } else {
      await page.getByText(en.evidence['compression-release']).waitFor();
      expect(await page.getByText(said(en.results.expected)).count()).toBe(0);
    }
  }
});
