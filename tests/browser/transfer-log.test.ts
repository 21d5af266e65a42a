/** File errors, in or out, are in the support report, without any file name. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser({ examples: true });
});
afterAll(() => browser?.close());

const strange = { name: 'Anna.json', mimeType: 'application/json', buffer: Buffer.from('{"Anna": 1}') };

/** Lines of the error log as sent to support, without time and stack. */
async function loggedErrors(app: App): Promise<string[]> {
  await app.goTo('/');
  await app.goTo('/settings');
  const report = app.page.getByRole('textbox', { name: en.support.title });
  // The report waits for the browser's feature checks.
  await expect.poll(() => report.inputValue(), { timeout: 10_000 }).toContain('Last errors:');
  const lines = (await report.inputValue()).split('Last errors:\n')[1]!.trim().split('\n');
  return lines.map((line) => line.replace(/^\d{4}-\d\d-\d\dT[\d:]{8}Z /, '').replace(/ at [^;]*/g, ''));
}

/** Makes the script of the workers that read and write files unavailable. */
function missTransferWorker(): void {
  window.Worker = class extends Worker {
    constructor(address: string | URL, options?: WorkerOptions) {
      super(String(address).includes('transfer.worker') ? '/none.js' : address, options);
    }
  };
}

async function settings(change?: () => void): Promise<App> {
  const page = await browser.open();
  if (change) await page.addInitScript(change);
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  // The examples, so that there is something to save.
  await app.engineRows.nth(2).waitFor();
  await app.goTo('/settings');
  return app;
}

it('logs a foreign file, imported or checked', async () => {
  const app = await settings();
  await app.chooseFiles(en.files.bringIn, [strange]);
  await app.page.getByRole('alert').filter({ hasText: strange.name }).waitFor();
  await app.goTo('/check');
  await app.chooseFiles(en.check.choose, [strange]);
  await app.button(en.check.chooseOther).waitFor();
  expect(await loggedErrors(app)).toEqual(['transfer bring-in: not-ours', 'check of a file: not-ours']);
  await app.page.close();
});

it('logs a worker that did not start, although the page did its work', async () => {
  const app = await settings(missTransferWorker);
  await Promise.all([app.page.waitForEvent('download'), app.button(en.files.backup).click()]);
  expect(await loggedErrors(app)).toEqual(['transfer worker: Error']);
  await app.page.close();
});

it('logs a store that refuses', async () => {
  const app = await settings(missTransferWorker);
  await app.page.evaluate(() => {
    IDBDatabase.prototype.transaction = () => {
      throw new DOMException('Anna’s estate.', 'UnknownError');
    };
  });
  await app.button(en.files.backup).click();
  await app.page.getByText(en.store.unreadable).waitFor();
  const logged = await loggedErrors(app);
  expect(logged).toContain('transfer backup: StoreProblem unreadable; cause: UnknownError');
  expect(logged.join()).not.toContain('Anna');
  await app.page.close();
});
