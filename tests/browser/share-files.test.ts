/** A library handed over in one file, and kept in a folder, in the built app. */
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

const session = {
  name: 'old-phone.strokebook.json',
  mimeType: 'application/json',
  buffer: readFileSync(new URL('../golden/sessions/version-6.strokebook.json', import.meta.url)),
};

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser?.close());

/** The origin's private file system stands for a folder that the person chose: the same interface, and no question. */
function chooseNoFolder(): void {
  Object.assign(window, {
    showDirectoryPicker: async () =>
      (await navigator.storage.getDirectory()).getDirectoryHandle('shared', { create: true }),
  });
}

async function open(): Promise<App> {
  const page = await browser.open();
  await page.addInitScript(chooseNoFolder);
  return new App(page, inject('appUrl'));
}

it('moves everything to a new phone, and checks that it arrived', async () => {
  const [old, fresh] = [await open(), await open()];
  await old.goTo('/settings');
  await old.chooseFiles(en.files.bringIn, [session]);
  await old.page.getByText(said(en.files.brought)).first().waitFor();
  await old.goTo('/share');
  const [download] = await Promise.all([
    old.page.waitForEvent('download'),
    old.button(en.share.handOver).click(),
  ]);
  const buffer = readFileSync(await download.path());

  await fresh.goTo('/share');
  const file = { name: download.suggestedFilename(), mimeType: 'application/octet-stream', buffer };
  await fresh.chooseFiles(en.share.takeIn, [{ ...file, buffer: buffer.subarray(0, buffer.length - 9) }]);
  await fresh.page.getByText(en.share['cut-off']).waitFor();
  await fresh.chooseFiles(en.share.takeIn, [file]);
  await fresh.page.getByText(said(en.share.arrived)).waitFor();
  await fresh.goTo('/');
  await fresh.engineRows.first().waitFor();

  // The same through a folder: nothing is read, everything is written once.
  await fresh.goTo('/share');
  await fresh.button(en.share.folderChoose).click();
  await fresh.page.getByText(/0 files read, 1 written/).waitFor();
  await fresh.button(en.share.folderUse).click();
  await fresh.page.getByText(/0 files read, 0 written/).waitFor();
  await fresh.goTo('/settings');
  const report = fresh.page.getByRole('textbox', { name: en.support.title });
  await expect.poll(() => report.inputValue(), { timeout: 10_000 }).toMatch(/Z file taken in\n.*Z folder\n/);
  expect(browser.complaints).toEqual([]);
});
