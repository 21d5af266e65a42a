/** The analysis worker dies, hangs or never starts: detected within two seconds, and the capture continues. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { fastForwardDuring } from '../support/fast-forward.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser({ fastForward: true });
});
afterAll(() => browser?.close());

/** Kept in the page: every worker of the analysis, and how the next ones behave. */
interface Workers {
  readonly started: Worker[];
  broken: boolean;
}

const workersOf = `window.workersOfTheTest`;

async function open(broken: boolean): Promise<{ app: App; page: Page; started(): Promise<number> }> {
  const page = await browser.open();
  await page.addInitScript((isBroken) => {
    const workers: Workers = { started: [], broken: isBroken };
    Object.assign(window, { workersOfTheTest: workers });
    const Given = window.Worker;
    window.Worker = class extends Given {
      constructor(url: string | URL, options?: WorkerOptions) {
        const isAnalysis = String(url).includes('analysis');
        super(isAnalysis && workers.broken ? '/nowhere.js' : url, options);
        if (isAnalysis) workers.started.push(this);
      }
    };
  }, broken);
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
  await app.arm();
  await app.button(en.crank.turnStarter).click();
  return { app, page, started: () => page.evaluate<number>(`${workersOf}.started.length`) };
}

/** Milliseconds until this many workers have started. */
async function untilStarted(started: () => Promise<number>, count: number): Promise<number> {
  const sinceMs = performance.now();
  await expect.poll(started, { interval: 30, timeout: 10_000 }).toBe(count);
  return performance.now() - sinceMs;
}

it.each([
  // Terminated from outside, it sends nothing more, exactly as if it hung.
  ['hangs', `${workersOf}.started.at(-1).terminate()`],
  ['dies', `${workersOf}.started.at(-1).dispatchEvent(new ErrorEvent('error', { message: 'gone' }))`],
])('keeps measuring when the worker %s while cranking', async (_, kill) => {
  const { app, page, started } = await open(false);
  await app.phase(en.phase.cranking).waitFor();
  expect(await started()).toBe(1);
  await page.evaluate(kill);
  // Two seconds of the page's clock, plus the delay of a busy machine.
  expect(await untilStarted(started, 2)).toBeLessThan(2500);
  await app.fastForwardTo(en.phase.moving);
  expect(await app.figureNow()).toBeGreaterThan(120);
  expect(await app.strokesCounted()).toBeGreaterThanOrEqual(4);
});

it('measures in the page, and says so, when no worker starts', async () => {
  const { app, page } = await open(true);
  await page.getByText(en.analyst.fallback).waitFor();
  // The banner leaves room for the choice of source.
  expect(await app.sensorLine.isVisible()).toBe(true);
  await app.fastForwardTo(en.phase.moving);
  expect(await app.figureNow()).toBeGreaterThan(120);
});

it('records by hand when the analysis fails again and again, with room for every button', async () => {
  const page = await browser.open();
  await page.setViewportSize({ width: 360, height: 640 });
  await page.addInitScript(() => {
    const Given = window.Worker;
    window.Worker = class extends Given {
      override postMessage(message: unknown, options?: StructuredSerializeOptions | Transferable[]): void {
        const { path } = message as { path?: readonly string[] };
        const isBroken = document.documentElement.dataset.broken === 'yes';
        if (isBroken && (path?.[0] === 'push' || path?.[0] === 'read'))
          this.dispatchEvent(new ErrorEvent('error', { message: 'gone' }));
        else super.postMessage(message, options as Transferable[]);
      }
    };
  });
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
  await page.evaluate(() => {
    document.documentElement.dataset.broken = 'yes';
  });
  await app.arm();
  await page.getByText(en.analyst.failed).waitFor();
  await app.phase(en.phase.unseen).waitFor();
  const buttons = page.locator('.crank-action .beside').locator('button, label');
  const boxes = await Promise.all((await buttons.all()).map((one) => one.boundingBox()));
  const edges = boxes.filter((box) => box !== null).sort((a, b) => a.y - b.y || a.x - b.x);
  expect(edges.length).toBeGreaterThanOrEqual(4);
  for (const [i, box] of edges.entries()) {
    expect(box.x + box.width).toBeLessThanOrEqual(360);
    const next = edges[i + 1];
    if (next && next.y < box.y + box.height / 2) expect(next.x).toBeGreaterThanOrEqual(box.x + box.width - 1);
  }
  await app.button(en.crank.recordAnyway).click();
  await app.phase(en.phase.recording).waitFor();
  await app.button(en.crank.turnStarter).click();
  await fastForwardDuring(page, () =>
    expect.poll(async () => (await app.meters()).takenCount, { timeout: 20_000 }).toBeGreaterThan(2400),
  );
  await app.button(en.crank.stop).click();
  await page.getByText(en.crank.notRead).waitFor();
  await app.step('judge');
  // The reason is not the measurement, so no one is sent back to the engine; the remedy is beside the reason.
  const head = page.locator('header').filter({ has: app.heading });
  await head.getByText(said(en.evidence['reading-not-analysed']!)).waitFor();
  expect(await head.textContent()).not.toContain('Measure again');
  await head.getByRole('button', { name: en.app.tryAgain }).waitFor();
  await page.evaluate(() => {
    delete document.documentElement.dataset.broken;
  });
  await app.button(en.app.tryAgain).click();
  await app.button(en.app.tryAgain).waitFor({ state: 'detached' });
  expect((await app.finalsInTable())[0]).toBeGreaterThan(100);
});
