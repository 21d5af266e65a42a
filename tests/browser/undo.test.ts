/** Changes of mind at the engine: skip, another cylinder, another condition, another take, and each undone. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser({ fastForward: true });
  app = new App(await browser.open(), inject('appUrl'));
  await app.goTo('/');
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
});
afterAll(() => browser?.close());

const atHand = (cylinder: number) =>
  app.instruction.filter({ hasText: new RegExp(`cylinder ${cylinder}\\b`, 'i') }).waitFor();
const condition = (name: string) => app.page.getByRole('radio', { name, exact: true });
const undo = () => app.button(en.app.undo).click();
const reading = (cylinder: number) =>
  app.page.getByRole('button', { name: said(en.plan.cylinder.replace('{n}', String(cylinder))) });

async function crank(): Promise<void> {
  await app.fastForwardTo(en.phase.waiting);
  await app.button(en.crank.turnStarter).click();
  await app.fastForwardTo(en.phase.moving);
}

it('undoes a skip, another cylinder and another condition', async () => {
  await atHand(1);
  await app.button(en.crank.skip).click();
  await atHand(2);
  await undo();
  await atHand(1);
  await reading(3).click();
  await atHand(3);
  await undo();
  await atHand(1);
  await condition(en.condition.wet).check();
  await app.page.getByText(said(en.crank.wetCaution)).waitFor();
  await undo();
  expect(await condition(en.condition.dry).isChecked()).toBe(true);
  expect(await app.button(en.app.undo).count()).toBe(0);
});

it('undoes a stored take: its figure disappears, and the hose stays where it is', {
  timeout: 90_000,
}, async () => {
  await app.arm();
  await crank();
  await atHand(2);
  expect(await app.figureNow()).toBeGreaterThan(100);
  const caption = app.page.getByText(said(`${en.app.cylinder}, ${en.crank.final}`));
  await caption.waitFor();
  await undo();
  await app.phase(en.phase.staying).waitFor();
  await caption.waitFor({ state: 'detached' });
  expect(await reading(1).getAttribute('aria-label')).toContain(en.plan.notMeasured);
});

it('retakes a cylinder and keeps the earlier take', { timeout: 120_000 }, async () => {
  await crank();
  await app.button(en.crank.retake).click();
  await app.phase(en.phase.staying).waitFor();
  await undo();
  await atHand(2);
  await app.button(en.crank.retake).click();
  await crank();
  await app.page.getByText(said(en.crank.earlier)).waitFor();
  await app.step('keep');
  // The one taken back, set aside; the earlier one and the retake.
  await expect.poll(() => app.button(en.export.download).count()).toBe(3);
  await app.step('crank');
});

it('refuses to remove the engine during a measurement, and says why', async () => {
  await app.page
    .getByRole('navigation', { name: en.step.strip })
    .getByRole('link', { name: en.step.prepare })
    .click();
  await app.link(en.engines.simulatedName).click();
  await app.page.getByRole('paragraph').filter({ hasText: en.remove.measuring }).waitFor();
  expect(await app.button(en.card.remove).isDisabled()).toBe(true);
  await app.page.goBack();
  await app.step('crank');
  await app.button(en.crank.disarm).or(app.button(en.crank.stop)).click({ timeout: 20_000 });
  await app.button(en.crank.arm).waitFor();
});

it('removes the engine, and restores it by undo from another page', async () => {
  await app.step('keep');
  await app.link(en.engines.simulatedName).click();
  await app.button(en.card.remove).click();
  await app.page.waitForURL(inject('appUrl'));
  await app.page.getByText(said(en.remove.gone)).waitFor();
  await app.link(en.app.settings).click();
  await app.page.getByRole('heading', { level: 1, name: en.app.settings }).waitFor();
  await app.button(en.remove.undo).click();
  await app.page.getByText(said(en.remove.undone)).waitFor();
  await app.link(en.app.name).click();
  await app.engineRows.filter({ hasText: en.engines.simulatedName }).click();
  await app.testRows.waitFor();
});

it('causes no errors', () => {
  expect(browser.complaints).toEqual([]);
});
