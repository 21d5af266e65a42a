/** The worker that measures dies, hangs or never comes: noticed within two seconds, and the capture does not mind. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser?.close());

/** Kept in the page: every worker of the analysis, and what is to become of the next ones. */
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
  await app.button(en.bench.simulate).click();
  await app.sensorLine.waitFor();
  await app.arm();
  await app.button(en.crank.turnStarter).click();
  return { app, page, started: () => page.evaluate<number>(`${workersOf}.started.length`) };
}

/** Milliseconds until there are so many workers. */
async function untilStarted(started: () => Promise<number>, count: number): Promise<number> {
  const sinceMs = performance.now();
  await expect.poll(started, { interval: 30, timeout: 10_000 }).toBe(count);
  return performance.now() - sinceMs;
}

it.each([
  // Ended from outside it says nothing any more, which is what hanging looks like.
  ['hangs', `${workersOf}.started.at(-1).terminate()`],
  ['dies', `${workersOf}.started.at(-1).dispatchEvent(new ErrorEvent('error', { message: 'gone' }))`],
])('measures on when the worker %s in mid-crank', async (_, kill) => {
  const { app, page, started } = await open(false);
  await app.phase(en.phase.cranking).waitFor();
  expect(await started()).toBe(1);
  await page.evaluate(kill);
  // Two seconds of the page's own clock, and what a busy machine takes to tell of it.
  expect(await untilStarted(started, 2)).toBeLessThan(2500);
  await app.phase(en.phase.moving).waitFor({ timeout: 20_000 });
  expect(await app.figureNow()).toBeGreaterThan(120);
  expect(await app.strokesCounted()).toBeGreaterThanOrEqual(4);
});

it('measures in the page, and says so, when no worker comes up', async () => {
  const { app, page } = await open(true);
  await page.getByText(en.analyst.fallback).waitFor();
  // the banner leaves room for where the figures come from
  expect(await app.sensorLine.isVisible()).toBe(true);
  await app.phase(en.phase.moving).waitFor({ timeout: 20_000 });
  expect(await app.figureNow()).toBeGreaterThan(120);
});
