/** Results on a phone: verdict, reason, plan and next step on the first screen; the rest folds away. */
import type { Locator } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, isInSight, said } from '../support/app.ts';
import { launchBrowser, PHONE, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser({ fastForward: true });
});
afterAll(() => browser?.close());

const open = async () => new App(await browser.open(), inject('appUrl'));
const next = (app: App) => app.page.getByRole('region', { name: en.results.nextStep, exact: true });
const summary = (app: App, id: string) => app.page.locator(`details#${id} > summary`);
const content = (app: App, id: string) => app.page.locator(`details#${id} > .matter`);

/** A four typed from a dial gauge, judged. */
async function typedFour(figures: readonly string[]): Promise<App> {
  const app = await open();
  await app.goTo('/new');
  await app.button(en.setup.goDial).click();
  await app.button(en.typed.safeDone).click();
  for (const [i, figure] of figures.entries()) {
    await app.dialField(i + 1).fill(figure);
    await app.page.keyboard.press('Enter');
  }
  await app.link(en.typed.toResults).click();
  await next(app).waitFor();
  return app;
}

/** A simulated four with worn rings, judged. */
async function simulatedFour(): Promise<App> {
  const app = await open();
  await app.goTo('/');
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
  await app.button(en.crank.change).click();
  await app.page.getByRole('radio', { name: en.crank.sourceSimulator }).check();
  await app.page.getByRole('radio', { name: en.cause['ring-wear'] }).check();
  await app.button(en.crank.connectSimulator).click();
  await app.sensorLine.waitFor();
  await app.arm();
  for (let cylinder = 1; cylinder <= 4; cylinder++) {
    await app.fastForwardTo(en.phase.waiting);
    await app.button(en.crank.turnStarter).click();
    await app.fastForwardTo(cylinder === 4 ? en.phase.done : en.phase.moving);
    if (cylinder < 4) await app.button(said(en.crank.goOn)).click();
  }
  await app.step('judge');
  await next(app).waitFor();
  return app;
}

async function expectFirstScreen(app: App, step: string): Promise<void> {
  const { width, height } = app.page.viewportSize()!;
  expect({ width, height }).toEqual(PHONE);
  expect(await app.page.evaluate(() => scrollY)).toBe(0);
  const parts: Record<string, Locator> = {
    verdict: app.heading,
    reason: app.page.locator('.reasons > li').first(),
    plan: app.page.locator('main svg.plan'),
    step: next(app).getByRole('button', { name: step, exact: true }),
  };
  for (const [name, part] of Object.entries(parts)) expect(await isInSight(part), name).toBe(true);
}

describe('a typed test with one low cylinder', () => {
  let app: App;
  beforeAll(async () => {
    app = await typedFour(['145', '150', '95', '148']);
  });

  it('leads with verdict, reason, plan and the next step', async () => {
    await expectFirstScreen(app, 'Test cylinder 3 wet');
    expect(await isInSight(app.link(en.results.toReport))).toBe(true);
  });

  it('folds away rule, remarks and figures, each summed up in its line', async () => {
    expect(await summary(app, 'rule').textContent()).toContain(en.rule['percent-of-highest'].name);
    expect(await summary(app, 'remarks').textContent()).toContain('1 remark');
    expect(await summary(app, 'figures').textContent()).toMatch(/95 to 150\spsi/);
    for (const id of ['rule', 'remarks', 'figures']) expect(await content(app, id).isVisible()).toBe(false);
  });

  it('opens a fold by keyboard and finds it open after a step away', async () => {
    await summary(app, 'rule').focus();
    await app.page.keyboard.press('Enter');
    await content(app, 'rule').getByText(en.rule['percent-of-highest'].source).first().waitFor();
    await app.step('prepare');
    await app.step('judge');
    await content(app, 'rule').getByText(en.rule['percent-of-highest'].source).first().waitFor();
    expect(await content(app, 'remarks').isVisible()).toBe(false);
  });

  it('opens the part that an address names', async () => {
    await app.goTo(`${new URL(app.page.url()).pathname}#remarks`);
    await content(app, 'remarks').getByText(said(en.notice['typed-in']!)).waitFor();
    expect(await isInSight(summary(app, 'remarks'))).toBe(true);
    expect(await content(app, 'figures').isVisible()).toBe(false);
  });

  it('prints what is folded', async () => {
    expect(await content(app, 'figures').isVisible()).toBe(false);
    await app.page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    expect(await content(app, 'figures').isVisible()).toBe(true);
    await app.page.evaluate(() => dispatchEvent(new Event('afterprint')));
    expect(await content(app, 'figures').isVisible()).toBe(false);
  });

  it('reaches the report in one tap', async () => {
    await app.link(en.results.toReport).click();
    await app.page.waitForURL('**/report');
    await app.page.goBack();
    await next(app).waitFor();
  });

  it('starts the wet retest at once, then gives the instructions for a leak-down test', async () => {
    await app.button('Test cylinder 3 wet').click();
    await app.dialField(3, 'wet').fill('100');
    await app.page.keyboard.press('Enter');
    await app.link(en.typed.toResults).click();
    await expectFirstScreen(app, en.nextStep['leak-down'].name);
    const how = next(app).getByText(en.nextStep['leak-down'].how);
    expect(await how.isVisible()).toBe(false);
    await app.button(en.nextStep['leak-down'].name).click();
    expect(await how.isVisible()).toBe(true);
  });

  it('says likely, not 99 %, and names what reads the same', async () => {
    expect(await app.heading.textContent()).toContain(en.verdictSentence.valveOrAlike);
    const suspects = app.page.getByRole('region', { name: en.results.suspects, exact: true });
    const first = suspects.getByRole('listitem').first();
    expect(await first.getByRole('heading').textContent()).toMatch(/ likely$/);
    expect(await first.getByRole('heading').textContent()).not.toContain('%');
    await first.getByText(en.readsAlike['valve-leak']).waitFor();
  });
});

it('measures what is left first', async () => {
  const app = await open();
  await app.goTo('/new');
  await app.button(en.setup.goDial).click();
  await app.button(en.typed.safeDone).click();
  for (const cylinder of [1, 2]) {
    await app.dialField(cylinder).fill('150');
    await app.page.keyboard.press('Enter');
  }
  await app.dialField(3).waitFor();
  await app.step('judge');
  await expectFirstScreen(app, 'Test cylinders 3 and 4');
  await app.button('Test cylinders 3 and 4').click();
  await app.dialField(3).waitFor();
});

describe('a simulated test with worn rings', () => {
  let app: App;
  beforeAll(async () => {
    app = await simulatedFour();
  });

  it('leads with verdict, reason, plan and the next step', () =>
    expectFirstScreen(app, 'Test cylinder 3 wet'));

  it('has a table of figures that fits a small phone', async () => {
    await app.page.setViewportSize({ width: 360, height: 640 });
    const table = await app.figuresTable();
    expect(await app.figureNames()).toContain(en.column.rpm);
    expect(await app.finalsInTable()).toHaveLength(4);
    const [inside, outside] = await table.evaluate((one) => {
      const { scrollWidth, clientWidth } = one.closest('.scroll')!;
      return [scrollWidth, clientWidth];
    });
    expect(inside).toBeLessThanOrEqual(outside!);
    await app.page.setViewportSize(PHONE);
  });

  it('has a table of differences that fits a small phone', async () => {
    await app.page.setViewportSize({ width: 360, height: 640 });
    await app.link(en.results.compare).click();
    const part = app.page.getByRole('region', { name: en.compare.differences, exact: true });
    const [inside, outside] = await part.getByRole('table').evaluate((one) => {
      const { scrollWidth, clientWidth } = one.closest('.scroll')!;
      return [scrollWidth, clientWidth];
    });
    expect(inside).toBeLessThanOrEqual(outside!);
    await app.page.goBack();
    await next(app).waitFor();
    await app.page.setViewportSize(PHONE);
  });

  it('asks only for the dimensions that the card lacks', async () => {
    await summary(app, 'leaks').click();
    const missing = content(app, 'leaks').getByText(said(en.results.leaksNeed));
    expect(await missing.textContent()).not.toContain(en.results.dimension.compressionRatio);
    await content(app, 'leaks').getByRole('link', { name: en.results.toCard }).click();
    await app.page.waitForURL('**/card');
  });
});

it('causes no errors', () => expect(browser.complaints).toEqual([]));
