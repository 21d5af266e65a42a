/** Persistent storage: while the browser asks the user, Settings says so, whatever triggered the question. */
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

interface Question {
  asked: number;
  answer: (kept: boolean) => void;
}

/** A browser that asks the user, as Firefox does. */
async function askingPage(): Promise<Page> {
  const page = await browser.open();
  await page.addInitScript(() => {
    let kept = false;
    const question: Question = { asked: 0, answer: () => undefined };
    Object.assign(window, { question });
    StorageManager.prototype.persisted = async () => kept;
    StorageManager.prototype.persist = () => {
      question.asked++;
      return new Promise((resolve) => {
        question.answer = (answer) => {
          kept = answer;
          resolve(answer);
        };
      });
    };
  });
  return page;
}

const answer = (page: Page, kept: boolean) =>
  page.evaluate((yes) => (window as unknown as { question: Question }).question.answer(yes), kept);
const asked = (page: Page) =>
  page.evaluate(() => (window as unknown as { question: Question }).question.asked);

it('shows the pending question after the first capture until it is answered', async () => {
  const page = await askingPage();
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
  // The last of four cylinders, after which nothing is measured any more.
  for (let i = 0; i < 3; i++) await app.button(en.crank.skip).click();
  await app.arm();
  await app.button(en.crank.turnStarter).click();
  await app.phase(en.phase.done).waitFor();
  await expect.poll(() => asked(page)).toBe(1);
  await app.button(en.crank.judge).click();
  await app.link(en.app.settings).click();
  await page.getByText(en.files.asking, { exact: true }).waitFor();
  // Never two questions at once.
  expect(await app.button(en.settings.protect).count()).toBe(0);
  await answer(page, true);
  await page.getByText(en.files.kept, { exact: true }).waitFor();
  expect(await page.getByText(en.files.asking, { exact: true }).count()).toBe(0);
  await page.close();
});

it('shows the pending question after a press of the button, and then the answer', async () => {
  const page = await askingPage();
  const app = new App(page, inject('appUrl'));
  await app.goTo('/settings');
  await app.button(en.settings.protect).click();
  await page.getByText(en.files.asking, { exact: true }).waitFor();
  await answer(page, false);
  await page.getByText(en.files.notProtected, { exact: true }).waitFor();
  expect(await page.getByText(en.files.mayBeCleared, { exact: true }).count()).toBe(1);
  expect(await page.getByText(en.files.asking, { exact: true }).count()).toBe(0);
  await page.close();
});
