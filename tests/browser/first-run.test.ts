/** A user opens the app for the first time and tries it with the simulated engine. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser({ fastForward: true, examples: true, serviceWorker: true });
  app = new App(await browser.open(), inject('appUrl'));
});
afterAll(() => browser?.close());

it('offers one way to start and one to try a simulated engine', async () => {
  await app.goTo('/');
  // Until the store has answered, the app does not know whether it has engines.
  await expect.poll(() => app.heading.textContent()).toBe(en.engines.empty);
  expect(await app.link(en.engines.start).count()).toBe(1);
  expect(await app.button(en.engines.simulate).count()).toBe(1);
  expect(await app.page.locator('.button.main').count()).toBe(1);
});

it('cranks the simulated engine, counts its strokes and judges it', async () => {
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
  expect(await app.sensorLine.textContent()).toContain(en.origin.simulated);
  await app.arm();
  for (const cylinder of [1, 2, 3, 4]) {
    await app.fastForwardTo(en.phase.waiting);
    await app.button(en.crank.turnStarter).click();
    await app.fastForwardToSettled();
    expect(await app.strokesCounted()).toBeGreaterThanOrEqual(4);
    await app.fastForwardTo(cylinder < 4 ? en.phase.moving : en.phase.done);
    // The range of a sound petrol engine; the exact figure belongs to the simulator's tests.
    expect(await app.figureNow()).toBeGreaterThan(120);
    expect(await app.figureNow()).toBeLessThan(220);
    if (cylinder < 4) await app.button(said(en.crank.goOn)).click();
  }
  await app.button(en.crank.judge).click();
  await app.page.getByText(said(en.verdictSentence.sound)).first().waitFor();
  expect(await app.finalsInTable()).toHaveLength(4);
});

it('contacts only its own server and causes no errors', () => {
  expect(browser.requestsBeyond(inject('appUrl'))).toEqual([]);
  expect(browser.complaints).toEqual([]);
});
